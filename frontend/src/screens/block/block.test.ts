import { describe, expect, it } from "vitest";
import { drawing, numbered, roundLength } from "./drawn";
import {
  askedOf,
  BLANK,
  countsOf,
  namesIn,
  placeOf,
  sharesOf,
  thinningsOf,
  wrongOf,
  type Typing,
} from "./drawing";
import { Listed } from "./listed";
import { gapOf, perHectare, positionsOf, spanOf, type BlockLayout } from "./shapes";
import { bySeat, meantLabels } from "./told";

const TREES = { number: 3, first: 1, holes: 3, stands: "shelter" as const, species: "gliricidia" };
const TYPED: BlockLayout = {
  id: "b-1",
  in_row_m: 4,
  between_m: 2,
  rows: [{ number: 1, first: 1, holes: 5 }, { number: 2, first: 6, holes: 4 }, TREES],
  meant: [{ batch: "t1", first: 1, last: 6 }],
};

describe("a layout in figures", () => {
  it("counts the positions of the crop alone", () => {
    expect(positionsOf(TYPED)).toBe(9);
  });

  it.each([
    [{ in_row_m: 4, between_m: 2 }, 1250],
    [{ in_row_m: 9, between_m: 9, pattern: "triangular" as const }, 143],
    [{ in_row_m: 1, between_m: 3, pair_m: 1, pattern: "double" as const }, 5000],
    [{ in_row_m: 3, between_m: 3, area_m2: 100 }, 900],
    [{ in_row_m: null, between_m: null }, null],
  ])("tells plants per hectare of %j", (more, plants) => {
    const found = perHectare({ ...TYPED, ...more });
    expect(found === null ? null : Math.round(found)).toBe(plants);
  });

  it("calls shelter trees otherwise than the crop", () => {
    expect(spanOf(TREES)).toEqual({ first: "S1", last: "S3" });
  });

  it("sets pairs close and pairs apart", () => {
    const double = { ...TYPED, pattern: "double" as const, pair_m: 1, between_m: 3 };
    expect([gapOf(double, 0), gapOf(double, 1)]).toEqual([1, 3]);
    expect(gapOf({ ...TYPED, between_m: null }, 0)).toBe(1);
  });
});

describe("a layout drawn", () => {
  it("puts typed rows below each other at their distances", () => {
    const { rows, north, bar, stake } = drawing(TYPED);
    expect(rows.map(({ start, end }) => [start, end])).toEqual([
      [
        [0, 0],
        [16, 0],
      ],
      [
        [0, 2],
        [12, 2],
      ],
      [
        [0, 4],
        [16, 4],
      ],
    ]);
    expect([north, bar, stake]).toEqual([false, 2, [0, 0]]);
  });

  it("makes one path of a row, with a dot for each position", () => {
    const [row] = drawing(TYPED).rows;
    expect(row?.dots).toBe("M0 0h0M4 0h0M8 0h0M12 0h0M16 0h0");
  });

  it("draws ground with north above and the painted end at its stake", () => {
    const ground: BlockLayout = {
      id: "b-2",
      rows: [
        { number: 1, first: 1, holes: 3, path: [10, 20, 10, 60] },
        { number: 2, first: 4, holes: 3, path: [30, 20, 35, 40, 30, 60] },
      ],
      painted_end: [-70, 18.5],
      outline: [-70, 18.5, -69.9999, 18.5, -69.9999, 18.5001],
    };
    const { rows, north, outline, stake } = drawing(ground);
    expect(rows[0]?.dots).toBe("M1 -2h0M1 -4h0M1 -6h0");
    expect(rows[1]?.dots).toBe("M3 -2h0M3.5 -4h0M3 -6h0");
    expect([north, stake]).toEqual([true, [0, 0]]);
    expect(outline).toBe("M0 0L10.56 0L10.56 -11.07Z");
  });

  it("draws a layout without distances by steps, and no scale", () => {
    const { bar, rows } = drawing({ id: "b-3", rows: [{ number: 1, first: 1, holes: 2 }] });
    expect([bar, rows[0]?.end]).toEqual([null, [1, 0]]);
  });

  it("keeps dots apart however many they are", () => {
    const rows = Array.from({ length: 200 }, (_, i) => ({
      ...{ number: i + 1, first: i * 100 + 1, holes: 100 },
    }));
    const { dot, unit } = drawing({ id: "b-5", rows, in_row_m: 3, between_m: 2 });
    expect(dot).toBeCloseTo(0.9);
    expect(dot).toBeLessThan(0.9 * unit);
    expect(drawing(TYPED).dot).toBeLessThan(2);
  });

  it("shifts every second row of a triangle", () => {
    const { rows } = drawing({ ...TYPED, pattern: "triangular", between_m: 4 });
    expect(rows[1]?.start[0]).toBe(2);
  });

  it.each([
    [7, 5],
    [40, 20],
    [0.4, 1],
    [100, 100],
  ])("a quarter of %d m is a bar of %d m", (most, bar) => {
    expect(roundLength(most)).toBe(bar);
  });

  it.each([
    [6, 1],
    [60, 2],
    [140, 5],
    [400, 20],
  ])("of %d rows every %dth bears its number", (rows, every) => {
    expect(numbered(rows)).toBe(every);
  });
});

describe("positions by row", () => {
  const stood = bySeat("b-1", [
    {
      properties: {
        ...{ position: "6", row: 2, meant: "T1", batch: "T1", planted: "2032-03-09" },
        ...{ state: "dead" as const, cause: "drought" },
      },
    },
    {
      properties: {
        ...{
          position: "7",
          row: 2,
          meant: null,
          batch: null,
          planted: null,
          state: null,
          cause: null,
        },
      },
    },
  ]);
  it("calls batches as the office does", () => {
    const told = { row: 1, batch: null, planted: null, state: null, cause: null };
    const features = [{ properties: { ...told, position: "1", meant: "T1" } }];
    const meant = [
      { batch: "b-t1", first: 1 },
      { batch: "b-x", first: 9 },
    ];
    expect([...meantLabels(meant, features)]).toEqual([
      ["b-t1", "T1"],
      ["b-x", "b-x"],
    ]);
  });

  const listed = new Listed(TYPED, (seat) => stood.get(seat));

  it("has a head for each row and a line for each position", () => {
    expect(listed.count).toBe(3 + 9 + 3);
    expect(listed.lines(0, 99).map(({ name }) => name)).toEqual([
      ...[null, "1", "2", "3", "4", "5", null, "6", "7", "8", "9", null, "S1", "S2", "S3"],
    ]);
    expect(listed.headOf(3)).toBe(11);
  });

  it("says who is meant and who stands there", () => {
    const [six, seven] = listed.lines(7, 9);
    expect([six?.meant, six?.stands?.batch, six?.stands?.state]).toEqual(["t1", "T1", "dead"]);
    expect([seven?.meant, seven?.stands]).toEqual([null, null]);
  });

  it("makes the last lines of 20 000 positions without the others", () => {
    const rows = Array.from({ length: 200 }, (_, i) => ({
      ...{ number: i + 1, first: i * 100 + 1, holes: 100 },
    }));
    const long = new Listed({ id: "b-4", rows }, () => undefined);
    expect(long.count).toBe(20_200);
    expect(long.lines(20_199, 20_300).map(({ name }) => name)).toEqual(["20000"]);
  });
});

describe("what is typed", () => {
  it.each([
    ["3 x 2", [2, 2, 2]],
    ["2×4", [4, 4]],
    ["15 15, 10", [15, 15, 10]],
    ["", null],
    ["0 x 3", null],
    ["12 twelve", null],
    ["99999 x 1", null],
  ])("%s", (text, counts) => {
    expect(countsOf(text)).toEqual(counts);
  });

  it.each([
    ["-70.21 18.53", [-70.21, 18.53]],
    ["-70.21, 18.53", [-70.21, 18.53]],
    ["-70,21 18,53", [-70.21, 18.53]],
    ["18.53", null],
    ["here", null],
  ])("the place %s", (text, place) => {
    expect(placeOf(text)).toEqual(place);
  });

  const rows = (more: Partial<Typing>): Typing => ({ ...BLANK, ...more });

  it.each([
    [{ rows: "3 x 2" }, null],
    [{ rows: "" }, "rows"],
    [{ rows: "3 x 2", in_row: "wide" }, "in_row"],
    [{ rows: "3 x 2", every: "1.5" }, "every"],
    [{ rows: "3 x 2", thin: "2:150" }, "thin"],
    [{ way: "ground" as const }, "in_row"],
    [{ way: "ground" as const, in_row: "3", between: "2" }, "outline"],
    [{ way: "ground" as const, in_row: "3", between: "2", outline: "{" }, "outline"],
    [{ way: "ground" as const, in_row: "3" }, "between"],
    [{ way: "ground" as const, in_row: "3", between: "2", outline: "{}", stake: "x" }, "stake"],
    [{ way: "ground" as const, in_row: "3", between: "2", outline: "{}", lines: "7" }, "lines"],
    [
      {
        ...{ way: "ground" as const, in_row: "3", between: "2", outline: "{}" },
        pattern: "contour" as const,
      },
      "lines",
    ],
    [{ rows: "3 x 2", pattern: "contour" as const }, null],
    [{ way: "terraces" as const, in_row: "3", between: "2" }, "lines"],
    [{ way: "terraces" as const, in_row: "3", between: "2", lines: "{}", outline: "7" }, "outline"],
  ])("%j lacks %s", (more, field) => {
    expect(wrongOf(rows(more))).toBe(field);
  });

  it("asks for what was typed and nothing else", () => {
    const typed = rows({ rows: "2 x 3", in_row: "4", every: "2", species: " pigeon pea " });
    expect(JSON.parse(JSON.stringify(askedOf(typed)))).toEqual({
      ...{ way: "typed", pattern: "rectangular", in_row_m: 4, shelter_every: 2 },
      ...{ species: "pigeon pea", counts: [3, 3] },
    });
  });

  it("asks for terraces with their side and their rows", () => {
    const typed = rows({ way: "terraces", lines: "{}", each: "2", pattern: "double", pair: "1" });
    expect(askedOf(typed)).toMatchObject({ rows_each: 2, side: "left", pair_m: 1, lines: {} });
  });
});

describe("shares and names", () => {
  it.each([
    ["40 30 30", [40, 30, 30]],
    ["33,3 66,7", [33.3, 66.7]],
    ["60 60", null],
    ["half", null],
    ["", null],
  ])("%s", (text, shares) => {
    expect(sharesOf(text)).toEqual(shares);
  });

  it.each([
    [
      "2:50 3:50",
      [
        { year: 2, percent: 50 },
        { year: 3, percent: 50 },
      ],
    ],
    ["2:50%", [{ year: 2, percent: 50 }]],
    ["", []],
    ["0:50", null],
    ["two:50", null],
  ])("thinnings %s", (text, found) => {
    expect(thinningsOf(text)).toEqual(found);
  });

  it("reads names of positions however they are set apart", () => {
    expect(namesIn(" 31, s4;45 ")).toEqual(["31", "S4", "45"]);
  });
});
