import { describe, expect, test } from "vitest";
import { draftsOf, isReady, NO_INSPECTION, plansOf, seenOf, type Inspecting } from "./inspecting";

const TRAYS = [
  { id: "b-t1", alive: 50 },
  { id: "b-t3", alive: 47 },
  { id: "b-new", alive: null },
];
const form = (more: Partial<Inspecting>): Inspecting => ({
  ...NO_INSPECTION,
  ...{ inspector: "Iven Dorrel", answer: "nothing" },
  ...more,
});

describe("an official inspection", () => {
  test("is of all plants of each batch, unless somebody says how many", () => {
    const drafts = draftsOf(
      form({ activeGrowth: true, paper: "IR-2", photos: ["p-1"] }),
      TRAYS,
      {},
    );
    expect(drafts).toHaveLength(3);
    expect(drafts[0]).toEqual({
      ...{ kind: "inspected", about: ["b-t1"] },
      body: {
        ...{ inspector: "Iven Dorrel", answer: "nothing", plants: 50, active_growth: true },
        ...{ paper: "IR-2", photo: "p-1" },
      },
    });
    expect(drafts[2]?.body).toMatchObject({ plants: 0 });
    const some = form({ counted: true, seen: { "b-t1": "20", "b-t3": "" } });
    expect(TRAYS.map((tray) => seenOf(some, tray))).toEqual([20, 47, 0]);
    expect(seenOf({ ...some, counted: false }, { id: "b-t1", alive: 50 })).toBe(50);
  });

  test("tells a pest of no list beside it, which holds nothing", () => {
    const unlisted = { pest: "mealybug", batch: "b-t3", plants: 1 };
    const at = { occurredAt: "2031-11-19T22:30:00.000Z" as never };
    expect(draftsOf(form({ unlisted }), TRAYS, at).at(-1)).toEqual({
      ...{ kind: "found", about: ["b-t3"], ...at },
      body: { suspicion: false, pest: "mealybug", plants: 1 },
    });
  });

  test.each<[Partial<Inspecting>, boolean]>([
    [{}, true],
    [{ inspector: " " }, false],
    [{ answer: "" }, false],
    [{ unlisted: { pest: "mealybug", batch: "", plants: 1 } }, false],
  ])("with %j may be saved: %s", (more, ready) => {
    expect(isReady(form(more))).toBe(ready);
  });

  test("is told how many to look at by the papers of what was chosen, and of nothing else", () => {
    const why = { code: "sample_all_though", params: { seen: 53, lot: 241 } };
    const asked = [
      { batches: ["b-t1", "b-t3"], plans: { inspection: { why } } },
      { batches: ["b-new"], plans: {} },
    ];
    expect(plansOf(asked, ["b-t3"])).toEqual([why]);
    expect(plansOf(asked, ["b-new"])).toEqual([]);
    expect(plansOf(asked, [])).toEqual([]);
  });
});
