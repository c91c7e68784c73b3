import { describe, expect, it } from "vitest";
import { entry } from "../testing/entries";
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
  type Sheltered,
} from "./shelter";
import type { Felled, TreeRow } from "./trees";

const CROP = { number: 1, first: 1, holes: 12 };
const TREES = { number: 2, first: 1, holes: 30, stands: "shelter" as const, goes: 3 };
const OTHERS = { number: 4, first: 31, holes: 10, stands: "shelter" as const };
const LAYOUT: Sheltered = { rows: [CROP, TREES, OTHERS], thinnings: [{ year: 2, percent: 50 }] };
const PLANTED = "2032-03-09";

function stand(number: number, trees: number, ...felled: Felled[]): TreeRow {
  const causes = {};
  return { number, species: null, planted: trees, causes, felled, standing: trees, harmed: 0 };
}

const ALL = [stand(2, 30), stand(4, 10)];

describe("the thinning plan (rule F-17)", () => {
  it("tells shares and rows by year, with their days", () => {
    const told = { past: false, felled: 0 };
    expect(thinningPlan(LAYOUT, ALL, PLANTED, "2032-10-01")).toEqual([
      { year: 2, percent: 50, from: "2034-03-09", ...told, out: 20, left: 20 },
      { year: 3, percent: 75, from: "2035-03-09", ...told, out: 15, left: 5 },
    ]);
  });

  const cut = (on: string, percent: number, trees: number): Felled => ({ on, percent, trees });
  const parts = (
    rows: readonly TreeRow[],
    today: string,
    layout: Sheltered = LAYOUT,
    planted: string | null = PLANTED,
  ) =>
    thinningPlan(layout, rows, planted, today).map(({ felled, out, left, past }) =>
      past ? ["past", felled] : [felled, out, left],
    );
  const HALF_AND_HALF: Sheltered = {
    rows: [OTHERS],
    thinnings: [
      { year: 3, percent: 50 },
      { year: 2, percent: 50 },
    ],
  };

  it("takes its shares of what stands, not of what was planted", () => {
    expect(parts([stand(2, 24), stand(4, 10)], "2032-10-01")).toEqual([
      [0, 17, 17],
      [0, 12, 5],
    ]);
  });

  it("fells nothing twice: what was felled counts for its year", () => {
    const rows = [stand(2, 15, cut("2034-10-01", 50, 15)), stand(4, 10)];
    expect(parts(rows, "2034-10-01")).toEqual([
      [15, 5, 20],
      [0, 15, 5],
    ]);
    expect(thinningPlan(LAYOUT, rows, PLANTED, "2034-10-01")[0]?.percent).toBe(20);
  });

  it("takes what is left of a share from what is left of the trees, though some died since", () => {
    const [half, rest] = parts(
      [stand(4, 7, cut("2034-10-01", 30, 3))],
      "2034-11-01",
      HALF_AND_HALF,
    );
    expect([half, rest]).toEqual([
      [3, 2, 5],
      [0, 2, 3],
    ]);
    const died = parts([stand(4, 3, cut("2034-10-01", 50, 5))], "2034-11-01", HALF_AND_HALF);
    expect(died).toEqual([
      [5, 0, 3],
      [0, 1, 2],
    ]);
  });

  it("counts what was felled before the first year for it, and beyond a share for the next", () => {
    const early = [stand(4, 5, cut("2033-11-01", 50, 5))];
    expect(parts(early, "2033-12-01", HALF_AND_HALF)[0]).toEqual([5, 0, 5]);
    const beyond = [stand(4, 2, cut("2034-10-01", 75, 8))];
    expect(parts(beyond, "2034-12-01", HALF_AND_HALF)).toEqual([
      [8, 0, 2],
      [0, 0, 2],
    ]);
    expect(parts(beyond, "2035-04-01", HALF_AND_HALF)).toEqual([
      ["past", 8],
      [0, 0, 2],
    ]);
    expect(parts(early, "2032-01-01", HALF_AND_HALF, null)[0]).toEqual([5, 0, 5]);
  });

  it("makes up for no share that was not taken in its year, but a row that goes stays to go", () => {
    expect(parts([stand(4, 10)], "2035-04-01", HALF_AND_HALF)).toEqual([
      ["past", 0],
      [0, 5, 5],
    ]);
    const goes = { rows: [{ ...OTHERS, goes: 2 }], thinnings: [{ year: 3, percent: 50 }] };
    expect(parts([stand(4, 10)], "2035-04-01", goes)).toEqual([
      ["past", 0],
      [0, 10, 0],
    ]);
    expect(parts([stand(4, 0, cut("2034-04-01", 100, 10))], "2034-05-01", goes)).toEqual([
      [10, 0, 0],
      [0, 0, 0],
    ]);
  });

  it.each([
    ["2032-02-29", "2034-02-28"],
    ["2032-03-09", "2034-03-09"],
    ["2096-02-29", "2098-02-28"],
  ])("counts from %s to %s", (planted, from) => {
    expect(thinningPlan(LAYOUT, ALL, planted, planted)[0]?.from).toBe(from);
  });

  it.each([
    ["2032-02-29", "2036-02-29"],
    ["2096-02-29", "2100-02-28"],
    ["2396-02-29", "2400-02-29"],
  ])("counts four years from %s to %s", (planted, from) => {
    const layout = { rows: [{ ...TREES, goes: 4 }] };
    const [step] = thinningPlan(layout, [stand(2, 30)], planted, planted);
    expect(step).toMatchObject({ year: 4, percent: 100, from, out: 30, left: 0 });
  });

  it("has no days before anything is planted, and no steps without shelter", () => {
    const none = thinningPlan(LAYOUT, ALL, null, PLANTED);
    expect(none.map(({ from, past }) => [from, past])).toEqual([
      [null, false],
      [null, false],
    ]);
    expect(thinningPlan({ rows: [CROP] }, [], PLANTED, PLANTED)).toEqual([]);
    const bare = { rows: [CROP], thinnings: [{ year: 2, percent: 50 }] };
    expect(thinningPlan(bare, [], null, PLANTED)).toEqual([]);
  });

  it("takes none where nothing stands, or of a row that the layout lost", () => {
    expect(parts([stand(4, 0)], PLANTED, HALF_AND_HALF)).toEqual([
      [0, 0, 0],
      [0, 0, 0],
    ]);
    expect(parts([stand(9, 4)], PLANTED, { ...HALF_AND_HALF, thinnings: [] })).toEqual([]);
    expect(parts([stand(9, 4)], PLANTED, HALF_AND_HALF)[0]).toEqual([0, 2, 2]);
  });
});

describe("thinning on a held block (rule F-16)", () => {
  const accepted = (what: string, ...about: string[]) =>
    entry({ kind: "accepted", about, body: { what, reference: "P-9" } });

  it.each([
    [[], [], []],
    [["t1"], [], ["t1"]],
    [["t1", "t1"], [accepted("pruning", "t1")], ["t1"]],
    [["t1", "t2"], [accepted("thinning", "t1")], ["t2"]],
    [["t1", "tr4"], [accepted("thinning", "t1", "tr4")], []],
    [["t1"], [entry({ kind: "noted", about: ["t1"], body: { text: "thinning" } })], ["t1"]],
    [["t1"], [entry({ kind: "accepted", about: ["t1"], body: { what: "thinning" } })], ["t1"]],
  ])("of %j held", (held, entries, left) => {
    expect(unconsented(held, entries)).toEqual(left);
  });

  it("a consent that was withdrawn is none", () => {
    const gone = entry({ id: 2, kind: "withdrawn", about: ["t1"], body: {}, corrects: 1 });
    expect(unconsented(["t1"], [accepted("thinning", "t1"), gone])).toEqual(["t1"]);
  });

  it("consents to thinning for what is held, with the picture of its paper where there is one", () => {
    expect(consent(["t1", "tr4"], "P-9", undefined)).toEqual({
      ...{ kind: "accepted", about: ["t1", "tr4"], body: { what: "thinning", reference: "P-9" } },
    });
    expect(consent(["t1"], "P-9", "photo-1").body).toMatchObject({ photo: "photo-1" });
  });
});

it.each([
  [50, false, true],
  [51, true, true],
  [0, false, false],
  [101, true, false],
])("%d percent is too much at once: %s; a share: %s (rule F-17)", (percent, much, share) => {
  expect([tooMuch(percent), isShare(percent)]).toEqual([much, share]);
  expect(tooMuch(percent, 30)).toBe(percent > 30);
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
