import { describe, expect, it, test } from "vitest";
import type { Spot } from "./drawn";
import {
  areaOf,
  corner,
  crosses,
  FIRST_VIEW,
  fixed,
  halfway,
  isPoor,
  NO_OUTLINE,
  outlineOf,
  polygonOf,
  replaced,
  sides,
  tapped,
  viewOf,
  without,
  zoomed,
  type Corner,
} from "./outline";
import { metresOf, placeAt, type Place } from "./plane";

const STAKE: Place = [-70.2, 18.5];
const ring = (...spots: readonly Spot[]): Corner[] => spots.map((one) => corner(one));
const SQUARE = ring([0, 0], [60, 0], [60, 60], [0, 60]);
const BOW_TIE = ring([0, 0], [60, 60], [60, 0], [0, 60]);

describe("the plane", () => {
  // Lengths of a degree at 45°: 111 132 m and 78 847 m (NGA, TR8350.2, from memory).
  it("is true to the ellipsoid", () => {
    const [x, y] = metresOf([10, 45], [10.01, 45.01]);
    expect([x, y].map(Math.round)).toEqual([788, 1111]);
  });

  it.each([[[0, 0]], [[120.5, -33.2]], [[-0.1, 999]]] as const)(
    "leads from metres to degrees and back: %j",
    (spot) => {
      const [x, y] = metresOf(STAKE, placeAt(STAKE, spot));
      expect(x).toBeCloseTo(spot[0], 6);
      expect(y).toBeCloseTo(spot[1], 6);
    },
  );
});

describe("a corner", () => {
  it("of the first fix is where the plane begins", () => {
    expect(fixed(null, STAKE, 3.2)).toEqual({ x: 0, y: 0, off: 4 });
    const there = placeAt(STAKE, [12.34, -5]);
    expect(fixed(STAKE, there, 14)).toEqual({ x: 12.3, y: -5, off: 14 });
  });

  it.each([
    [null, false],
    [10, false],
    [11, true],
  ])("that may lie %s m off is a poor one: %s", (off, poor) => {
    expect(isPoor({ x: 0, y: 0, off })).toBe(poor);
  });

  it("is removed, replaced, and set between two others", () => {
    expect(without(SQUARE, 1)).toEqual(ring([0, 0], [60, 60], [0, 60]));
    expect(replaced(SQUARE, 3, corner([9, 9]))).toEqual(ring([0, 0], [60, 0], [60, 60], [9, 9]));
    expect(halfway(SQUARE, 3)).toEqual([...SQUARE, corner([0, 30])]);
    expect(halfway(SQUARE, 0)[1]).toEqual(corner([30, 0]));
    expect(halfway([], 0)).toEqual([]);
  });
});

describe("an outline", () => {
  it("knows its sides and its area, whichever way it was walked", () => {
    expect(sides(SQUARE)).toEqual([60, 60, 60, 60]);
    expect([areaOf(SQUARE), areaOf([...SQUARE].reverse())]).toEqual([3600, 3600]);
    expect(areaOf([])).toBe(0);
  });

  it.each([
    ["a square", SQUARE, false],
    ["a bow tie", BOW_TIE, true],
    ["a triangle", SQUARE.slice(0, 3), false],
    ["a notch that opens inwards", ring([0, 0], [60, 0], [60, 60], [30, 10], [0, 60]), false],
    ["a notch that reaches through", ring([0, 0], [60, 0], [60, 60], [30, -10], [0, 60]), true],
    ["a corner on another side", ring([0, 0], [60, 0], [60, 60], [30, 0], [0, 60]), true],
  ])("%s crosses itself: %s", (_, corners, yes) => {
    expect(crosses(corners)).toBe(yes);
  });

  it("becomes GeoJSON with a closed ring, longitude first, and is read back", () => {
    const polygon = polygonOf(STAKE, SQUARE) as { coordinates: number[][][] };
    const [told = []] = polygon.coordinates;
    expect(told).toHaveLength(5);
    expect([told[0], told[4]]).toEqual([
      [-70.2, 18.5],
      [-70.2, 18.5],
    ]);
    expect(outlineOf(told.flat())).toEqual({ at: "-70.2 18.5", corners: SQUARE });
    expect(outlineOf(told.slice(0, 4).flat()).corners).toEqual(SQUARE);
    expect(outlineOf([])).toEqual(NO_OUTLINE);
  });
});

describe("the view", () => {
  it("stays while the corners lie in it, and holds them all once one does not", () => {
    expect(viewOf(FIRST_VIEW, ring([0, 0], [50, 50]))).toBe(FIRST_VIEW);
    expect(viewOf(FIRST_VIEW, SQUARE)).toEqual({ x: 30, y: 30, wide: 100 });
    expect(viewOf(FIRST_VIEW, ring([0, 0], [300, 0]))).toEqual({ x: 150, y: 0, wide: 500 });
    expect(viewOf(FIRST_VIEW, ring([0, 0], [8000, 0])).wide).toBe(10_000);
  });

  it.each([
    [100, -1, 50],
    [100, 1, 200],
    [20, -1, 20],
    [5000, 1, 5000],
  ] as const)("of %d m, by %d, is one of %d m", (wide, by, now) => {
    expect(zoomed({ ...FIRST_VIEW, wide }, by).wide).toBe(now);
  });
});

test("a tap is metres of the plane, north above", () => {
  const view = { x: 10, y: 20, wide: 100 };
  expect(tapped(view, 0.5, 0.5)).toEqual(corner([10, 20]));
  expect(tapped(view, 0, 0)).toEqual(corner([-40, 70]));
  expect(tapped(view, 1, 1)).toEqual(corner([60, -30]));
});
