import { describe, expect, test } from "vitest";
import { balanceOf, draftsOf, looked, NO_POTS, potsOf, rootsOf, type Potting } from "./potting";

const USUAL = { keeps: () => true, saw: "count-1" };
const potting = (more: Partial<Potting>): Potting => ({
  ...NO_POTS,
  container: "air_pot",
  ...more,
});

describe("potting on", () => {
  test.each([
    [{ pots: [{ container: "2.5 L air-pruned pot" }, { container: "bag" }] }, 2],
    [{}, 0],
    [null, 0],
  ])("offers the containers that the crop's row names: %j", (body, many) => {
    expect(potsOf(body === null ? null : { body })).toHaveLength(many);
  });

  test("of T6 in the story: 44 in, 3 culled for J-root, 41 pots", () => {
    const form = potting({
      ...{ litres: "2.5", medium: " bark ", counts: { culled: "3", out: "41" } },
      roots: { none: "4", few: "1" },
    });
    expect(balanceOf(form, 44)).toEqual({ dead: 0, culled: 3, left: 41, out: 41, difference: 0 });
    expect(draftsOf(form, "b-t6", 44, USUAL)).toEqual([
      {
        ...{ kind: "lost", about: ["b-t6"] },
        body: { count: 3, fate: "culled", cause: "j_root", kept: true },
      },
      {
        ...{ kind: "counted", about: ["b-t6"] },
        body: { method: "full", alive: 41, saw: "count-1" },
      },
      {
        ...{ kind: "potted", about: ["b-t6"] },
        body: { container: "air_pot", litres: 2.5, medium: "bark" },
      },
      {
        ...{ kind: "plugged", about: ["b-t6"] },
        body: { none: 4, few: 1, many: 0, cull: 0 },
      },
    ]);
  });

  test.each([
    [{ dead: "2", out: "41" }, 44, 1],
    [{ culled: "3", out: "43" }, 44, -2],
    [{ dead: "1" }, 44, 0],
    [{ dead: "", out: "" }, 44, 0],
  ])("with %j of %i in leaves %i unexplained", (counts, alive, difference) => {
    expect(balanceOf({ counts }, alive).difference).toBe(difference);
  });

  test("without figures is the pots alone, and the dead are kept only where conditions say so", () => {
    expect(draftsOf(potting({}), "b-1", 8, USUAL)).toEqual([
      { kind: "potted", about: ["b-1"], body: { container: "air_pot" } },
    ]);
    const [dead] = draftsOf(potting({ counts: { dead: "1" } }), "b-1", 8, {
      keeps: (fate) => fate === "culled",
      saw: null,
    });
    expect(dead?.body).toEqual({ count: 1, fate: "died", cause: "unknown", kept: false });
  });
});

test("root balls of several batches are classed together, as 30 of the story", () => {
  const form = { roots: { none: "21", few: "6", many: "3", cull: "5" } };
  expect(looked(form)).toBe(30);
  expect(rootsOf(form, ["b-t1", "b-t2"])).toEqual([
    { kind: "plugged", about: ["b-t1", "b-t2"], body: { none: 21, few: 6, many: 3, cull: 5 } },
  ]);
  expect(rootsOf({ roots: { cull: "5" } }, ["b-t1"])).toEqual([]);
});
