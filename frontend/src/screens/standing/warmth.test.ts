import { expect, test } from "vitest";
import type { PestPressed, PressureCounted } from "./shapes";
import { besideOf, generationLines, toldOf, whole } from "./warmth";

const TODAY = "2032-10-01";
const COUNTED: PressureCounted = {
  ...{ as_of: "2032-09-30", behind: 0, own_days: 3, sky_days: 26, old: false },
  ...{ degree_days: 412.97, generation: 2, next_on: "2032-10-20" },
  ...{ missing: 0, missing_days: [], points: [] },
};
const PEST: PestPressed = {
  ...{ pest: "moth", source: "a paper", lower_c: 10, upper_c: 33, per_generation: 300 },
  ...{ biofix: "2032-09-01", counted: COUNTED },
};

test("degree-days are told whole, never as more than there were", () => {
  expect([412.97, 412, 411.9999999999].map(whole)).toEqual([412, 412, 412]);
});

test.each([
  [
    {},
    "pressure.told",
    { name: "Moth", n: 412, on: "2032-09-01", generation: 2, as_of: "2032-09-30" },
  ],
  [{ biofix: null, counted: null }, "pressure.no_biofix", { name: "Moth" }],
  [{ biofix: "2032-11-01", counted: null }, "pressure.ahead", { name: "Moth", on: "2032-11-01" }],
  [{ counted: { ...COUNTED, as_of: null } }, "pressure.no_weather", { name: "Moth" }],
  [{ biofix: TODAY, counted: { ...COUNTED, as_of: null } }, "pressure.nought", { name: "Moth" }],
])("%j: %s", (change, key, params) => {
  expect(toldOf({ ...PEST, ...change }, "Moth", TODAY)).toMatchObject({ key, params });
});

const BY = { key: "pressure.by", params: { own: 3, sky: 26 } };
test.each([
  [{ as_of: null }, []],
  [{}, [{ key: "pressure.next", params: { on: "2032-10-20" } }, BY]],
  [{ next_on: TODAY }, [{ key: "pressure.next_over", params: { on: TODAY }, wait: true }, BY]],
  [{ next_on: null }, [{ key: "pressure.no_next", params: {} }, BY]],
  [
    { next_on: null, behind: 4, missing: 2, missing_days: ["2032-09-05", "2032-09-09"], old: true },
    [
      { key: "pressure.no_next", params: {} },
      { key: "pressure.behind", params: { n: 4 }, wait: true },
      { key: "pressure.missing", params: { n: 2, first: "2032-09-05" }, wait: true },
      { key: "pressure.old", params: {}, wait: true },
      BY,
    ],
  ],
])("beside the figure, %j: %j", (change, told) => {
  expect(besideOf({ ...COUNTED, ...change }, TODAY)).toEqual(told);
});

test("lines are drawn where generations begin, up to the next, and no more than can be told apart", () => {
  const lines = (generation: number) =>
    generationLines({ per_generation: 300 }, { generation }, (n) => `generation ${n}`);
  expect(lines(2)).toEqual([
    { y: 300, says: "generation 2" },
    { y: 600, says: "generation 3" },
  ]);
  expect(lines(9).map(({ y }) => y)).toEqual([1800, 2100, 2400, 2700]);
});
