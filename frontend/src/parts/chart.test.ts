// @vitest-environment jsdom
import { cleanup, fireEvent, render, screen, within } from "@testing-library/svelte";
import { afterEach, beforeAll, describe, expect, test, vi } from "vitest";
import {
  along,
  bars,
  figuresOf,
  line,
  onAxis,
  reach,
  scale,
  steps,
  strokes,
  ticks,
  type Series,
} from "./chart";
import { apart, aside, atEnd } from "./chart-words";
import { rows } from "./chart-rows";
import Chart from "./Chart.svelte";
import { speech } from "./speech.svelte";

/** The test's page has no layout to watch. */
class Unwatched {
  observe(): void {
    /* nothing changes its size */
  }
  unobserve(): void {
    /* as above */
  }
  disconnect(): void {
    /* as above */
  }
}

afterEach(cleanup);
beforeAll(async () => {
  vi.stubGlobal("ResizeObserver", Unwatched);
  await speech.speak("en");
});

describe("the figures at an axis", () => {
  test.each([
    [0, 100, 5, [0, 50, 100]],
    [0, 100, 6, [0, 20, 40, 60, 80, 100]],
    [15, 75, 4, [20, 40, 60]],
    [0, 0.3, 4, [0, 0.1, 0.2, 0.3]],
    [-4, 4, 5, [-4, -2, 0, 2, 4]],
    [7, 7, 5, [7]],
  ])("from %f to %f, %i at most", (low, high, most, wanted) => {
    expect(ticks(low, high, most)).toEqual(wanted);
  });

  test.each([
    ["reach to nice ones", [16, 69], [0, 80]],
    ["hold a nice one as it is", [0, 100], [0, 100]],
    ["begin at nought for one figure", [45], [0, 90]],
    ["end at nought for one below it", [-3], [-6, 0]],
    ["are 0 and 1 where there is none", [], [0, 1]],
    ["are 0 and 1 for nought alone", [0, 0], [0, 1]],
  ])("%s", (_, figures, wanted) => {
    expect(reach(figures)).toEqual(wanted);
  });
});

describe("places", () => {
  test("of days lie as far apart as the days", () => {
    expect(along("2032-03-01") - along("2032-02-28")).toBe(2);
  });
  test("fall between the edges", () => {
    const place = scale([0, 10], [100, 200]);
    expect([0, 5, 10].map(place)).toEqual([100, 150, 200]);
  });
  test("of one figure alone lie in the middle", () => {
    expect(scale([3, 3], [0, 50])(3)).toBe(25);
  });
});

describe("paths", () => {
  const spots = [
    { x: 0, y: 1 },
    { x: 5, y: 2 },
    { x: 10, y: null },
    { x: 15, y: 3 },
  ];

  test("are broken where nothing is known, and a spot by itself is a dot", () => {
    expect(line(spots)).toBe("M0 1L5 2M15 3h0");
  });
  test("of stairs hold a figure until the next", () => {
    expect(steps(spots)).toBe("M0 1h0H5V2M15 3h0");
  });
  test("of a band stand at even distances and leave gaps", () => {
    const spans = [
      { x: 0, low: 10, high: 0 },
      { x: 16, low: 18, high: 8 },
      { x: 32, low: null, high: null },
    ];
    expect(strokes(spans, 8)).toBe("M0 10V0M8 14V4M16 18V8");
  });
  test("of bars stand on the ground and leave gaps", () => {
    expect(
      bars(
        [spots[0], spots[2]].flatMap((one) => one ?? []),
        9,
        100,
      ),
    ).toEqual([{ x: -3.5, y: 1, width: 7, height: 8 }]);
  });
});

test("words over a chart do not overlap, and stay within it", () => {
  const words = [
    { at: 50, wide: 60 },
    { at: 70, wide: 60 },
    { at: 195, wide: 40 },
  ];
  expect(apart(words, 200)).toEqual([
    { x: 20, level: 0 },
    { x: 40, level: 1 },
    { x: 160, level: 0 },
  ]);
});

test("words below two rings stand on lines of their own, before a ring at the right edge", () => {
  const ring = { y: 50, wide: 60, below: true };
  const found = aside(
    [
      { ...ring, x: 20 },
      { ...ring, x: 40 },
      { ...ring, x: 180 },
    ],
    [0, 200],
    { em: 10, ground: 200 },
  );
  expect(found.map(({ words }) => words)).toEqual([
    { x: 30, y: 66, before: false },
    { x: 50, y: 80, before: false },
    { x: 170, y: 66, before: true },
  ]);
});

const ODDS: readonly Series[] = [
  {
    draw: "line",
    name: "alive",
    points: [
      { x: "2032-03-05", y: 92 },
      { x: "2032-02-01", y: null },
    ],
  },
  { draw: "band", name: "eight years of ten", points: [{ x: "2032-03-05", low: 80, high: 97 }] },
];

test("a table has a row for each place in order, and a band two columns", () => {
  expect(rows(ODDS)).toEqual([
    { x: "2032-02-01", cells: [null, undefined, undefined] },
    { x: "2032-03-05", cells: [92, 80, 97] },
  ]);
});

test("words that the ground leaves no room for stand above their rings", () => {
  const ring = { x: 20, y: 50, wide: 60, below: true };
  const found = aside([ring, ring, ring], [0, 200], { em: 10, ground: 75 });
  expect(found.map(({ words }) => words.y)).toEqual([66, 42, 28]);
});

test("what lies beyond the axis sets no scale and stands in no table", () => {
  const across = { kind: "time", from: "2032-02-15", to: "2032-04-01" } as const;
  const [line, band] = onAxis(ODDS, across);
  expect(line?.points.map(({ x }) => x)).toEqual(["2032-03-05"]);
  expect(band?.points).toHaveLength(1);
});

test.each([
  [
    "at its end where figures crowd its beginning",
    [
      { x: 10, y: 52 },
      { x: 190, y: 90 },
    ],
    true,
  ],
  [
    "at its beginning where figures crowd its end",
    [
      { x: 10, y: 90 },
      { x: 190, y: 52 },
    ],
    false,
  ],
  ["at its beginning where there are none", [], false],
  [
    "at its end past a gap",
    [
      { x: 10, y: 52 },
      { x: 190, y: null },
    ],
    true,
  ],
])("the words of a level stand %s", (_, spots, wanted) => {
  expect(atEnd(spots, 50, 60, [0, 200])).toBe(wanted);
});

test("several figures at one place have a row each", () => {
  const points = [
    { x: 2, y: 30 },
    { x: 1, y: 10 },
    { x: 1, y: 12 },
  ];
  expect(rows([{ draw: "points", name: "height", points }])).toEqual([
    { x: 1, cells: [10] },
    { x: 1, cells: [12] },
    { x: 2, cells: [30] },
  ]);
});

test("bars stand on nought, so it belongs to their figures", () => {
  expect(figuresOf([{ draw: "bars", name: "rain", points: [{ x: 1, y: 4 }] }])).toEqual([4, 0]);
});

describe("a chart", () => {
  const shown = () =>
    render(Chart, {
      title: "Odds by planting day",
      said: "Of 100 planted on 5 March, 92 would stand.",
      across: { kind: "time", from: "2031-07-01", to: "2032-04-30" },
      series: ODDS,
      levels: [{ y: 45, says: "smallest to plant" }],
      marks: [{ x: "2031-07-30", says: "today 30 JUL", today: true }],
      stretches: [
        { from: "2031-10-01", to: "2031-11-15", says: "lost", lost: true },
        { from: "2031-12-01", to: "2031-12-15", says: "lost", lost: true },
        { from: "2032-03-01", to: "2032-03-31", says: "plant" },
      ],
      notes: [{ x: "2032-03-05", y: 92, says: "92 of 100" }],
    });

  test("tells in a sentence what it draws", () => {
    shown();
    expect(
      screen.getByRole("img", { name: "Of 100 planted on 5 March, 92 would stand." }),
    ).toBeTruthy();
  });

  test("has words at each line, and a key to its strokes", () => {
    shown();
    for (const words of ["smallest to plant", "today 30 JUL", "plant", "92 of 100"])
      expect(screen.getByText(words)).toBeTruthy();
    expect(within(screen.getByRole("list")).getAllByRole("listitem")).toHaveLength(2);
  });

  test("shows the same figures as a table, and takes it away again", async () => {
    shown();
    expect(screen.queryByRole("table")).toBeNull();
    const button = screen.getByRole("button", { name: /^show as table/ });
    await fireEvent.click(button);
    const table = screen.getByRole("table", { name: "Odds by planting day" });
    const cells = within(table)
      .getAllByRole("row")
      .map((row) => Array.from(row.children, (cell) => cell.textContent));
    expect(cells).toEqual([
      ["day", "alive", "eight years of ten, low", "eight years of ten, high"],
      ["SUN 1 FEB", "not known", "", ""],
      ["FRI 5 MAR", "92", "80", "97"],
    ]);
    // What stands at a line of the drawing is read beside the table as well.
    expect(screen.getAllByText("smallest to plant")).toHaveLength(2);
    expect(button.getAttribute("aria-expanded")).toBe("true");
    await fireEvent.click(button);
    expect(screen.queryByRole("table")).toBeNull();
  });
});
