import { describe, expect, it } from "vitest";
import {
  consent,
  isShare,
  rowsOf,
  seen,
  stages,
  thinned,
  thinningPlan,
  tooMuch,
  unconsented,
} from "./shelter";

const CROP = { number: 1, first: 1, holes: 12 };
const TREES = { number: 2, first: 1, holes: 30, stands: "shelter" as const, goes: 3 };
const OTHERS = { number: 4, first: 31, holes: 10, stands: "shelter" as const };
const LAYOUT = { rows: [CROP, TREES, OTHERS], thinnings: [{ year: 2, percent: 50 }] };

describe("the thinning plan", () => {
  it("tells shares and rows by year, with their days", () => {
    expect(thinningPlan(LAYOUT, "2032-03-09")).toEqual([
      { year: 2, percent: 50, from: "2034-03-09", out: 20, left: 20 },
      { year: 3, percent: 75, from: "2035-03-09", out: 15, left: 5 },
    ]);
  });

  it.each([
    ["2032-02-29", "2034-02-28"],
    ["2032-03-09", "2034-03-09"],
    ["2096-02-29", "2098-02-28"],
  ])("counts from %s to %s", (planted, from) => {
    expect(thinningPlan(LAYOUT, planted)[0]?.from).toBe(from);
  });

  it.each([
    ["2032-02-29", "2036-02-29"],
    ["2096-02-29", "2100-02-28"],
    ["2396-02-29", "2400-02-29"],
  ])("counts four years from %s to %s", (planted, from) => {
    const [step] = thinningPlan({ rows: [{ ...TREES, goes: 4 }] }, planted);
    expect(step).toEqual({ year: 4, percent: 100, from, out: 30, left: 0 });
  });

  it("has no days before anything is planted, and no steps without shelter", () => {
    expect(thinningPlan(LAYOUT, null).map(({ from }) => from)).toEqual([null, null]);
    expect(thinningPlan({ rows: [CROP] }, "2032-03-09")).toEqual([]);
    expect(thinningPlan({ rows: [CROP], thinnings: LAYOUT.thinnings }, null)).toEqual([
      { year: 2, percent: 0, from: null, out: 0, left: 0 },
    ]);
  });
});

describe("thinning on a held block (rule F-16)", () => {
  const accepted = (what: string, about: readonly string[]) => ({
    ...{ kind: "accepted", about, body: { what, reference: "P-9" } },
  });

  it.each([
    [[], [], []],
    [["t1"], [], ["t1"]],
    [["t1", "t1"], [accepted("pruning", ["t1"])], ["t1"]],
    [["t1", "t2"], [accepted("thinning", ["t1"])], ["t2"]],
    [["t1", "t2"], [accepted("thinning", ["t1", "t2"])], []],
  ])("of %j held", (held, entries, left) => {
    expect(unconsented(held, entries)).toEqual(left);
  });

  it("consents to thinning, for the batches that are held", () => {
    expect(consent(["t1"], "P-9")).toEqual({
      ...{ kind: "accepted", about: ["t1"], body: { what: "thinning", reference: "P-9" } },
    });
  });
});

it.each([
  [50, false, true],
  [51, true, true],
  [0, false, false],
  [101, true, false],
])("%d percent is too much at once: %s; a share: %s (rule F-17)", (percent, much, share) => {
  expect([tooMuch(percent), isShare(percent)]).toEqual([much, share]);
  expect(isShare("ask")).toBe(false);
});

it("writes which rows were thinned by how much", () => {
  expect(thinned("b-1", ["2"], 30)).toEqual({
    ...{ kind: "thinned", about: ["b-1"], body: { block: "b-1", rows: ["2"], percent: 30 } },
  });
});

describe("what felling did", () => {
  it("finds the rows of positions, of the crop and of the shelter", () => {
    const { found, lost } = rowsOf(["3", "S31", "12", "13", "x", "3"], LAYOUT.rows);
    expect([...found]).toEqual([
      [CROP, ["3", "12"]],
      [OTHERS, ["S31"]],
    ]);
    expect(lost).toEqual(["13", "x"]);
  });

  it("tells a plant that was harmed as alive with its cause", () => {
    const [draft] = seen("b-1", new Map([[CROP, ["3"]]]), "alive", "felling");
    expect(draft).toEqual({
      ...{ kind: "surveyed", about: ["b-1.1"] },
      body: {
        ...{ block: "b-1", row: "1" },
        seen: [{ position: "3", state: "alive", cause: "felling" }],
      },
    });
  });
});

describe("an old crop replaced by stages", () => {
  it.each([
    [100, [50, 30, 20], [50, 30, 20]],
    [7, [50, 50], [4, 3]],
    [10, [33, 33, 34], [3, 4, 3]],
    [72, [25, 25, 25, 25], [18, 18, 18, 18]],
    [5, [10, 90], [1, 4]],
    [4, [10, 90], [0, 4]],
    [10, [60, 60], [6, 4]],
  ])("%d plants by %j", (plants, shares, years) => {
    const found = stages(plants, shares);
    expect(found.map((one) => one.plants)).toEqual(years);
    expect(found.at(-1)?.last).toBe(plants);
  });

  it("replaces from the painted end, each place once", () => {
    expect(stages(10, [30, 0, 70])).toEqual([
      { year: 1, plants: 3, first: 1, last: 3 },
      { year: 2, plants: 0, first: null, last: null },
      { year: 3, plants: 7, first: 4, last: 10 },
    ]);
  });
});
