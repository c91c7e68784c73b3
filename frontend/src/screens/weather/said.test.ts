import { expect, test } from "vitest";
import { DAY, idOf, NOTHING_SAID, query, saidOf, strip, takenAs } from "./said";
import type { Found } from "./shapes";

const SHOWN = {
  days_at: [0],
  columns: [
    { place: 1, heading: "min", measure: "low_c", unit: "celsius" },
    { place: 2, heading: "max", measure: "high_c", unit: "celsius" },
  ],
} as unknown as Found;

test("until something is said, a column is what its heading says", () => {
  expect(takenAs(SHOWN, NOTHING_SAID)).toEqual({
    1: ["low_c", "celsius"],
    2: ["high_c", "celsius"],
  });
});

test("what is said of one column leaves the others as they were found", () => {
  const said = saidOf(SHOWN, NOTHING_SAID, 1, "low_c", "fahrenheit");
  expect(said.columns).toEqual({ 1: ["low_c", "fahrenheit"], 2: ["high_c", "celsius"] });
  expect(said.days).toEqual([0]);
  expect(saidOf(SHOWN, said, 2, "", "").columns).toEqual({ 1: ["low_c", "fahrenheit"] });
});

test("another column may be the day, and is then no measure", () => {
  const said = saidOf(SHOWN, NOTHING_SAID, 1, DAY, "");
  expect([said.days, said.columns]).toEqual([[1], { 2: ["high_c", "celsius"] }]);
  expect(saidOf(SHOWN, said, 1, "rain_mm", "inch").days).toEqual([]);
});

test("an order or a sign that nobody said is not told", () => {
  const told = (text: string): unknown =>
    JSON.parse(new URLSearchParams(text).get("choices") ?? "");
  expect(told(query(NOTHING_SAID))).toEqual({ columns: {}, days: [], leave_out: false });
  const said = query({ ...NOTHING_SAID, order: "day_first", mark: "comma" }, { name: "Ñu & Co" });
  expect(told(said)).toMatchObject({ order: "day_first", mark: "comma" });
  expect(new URLSearchParams(said).get("name")).toBe("Ñu & Co");
});

test.each([
  ["Estación Núñez 2", [], "estacion-nunez-2"],
  ["Own gauge", ["own-gauge", "own-gauge-2"], "own-gauge-3"],
  ["雨", [], "series"],
])("%s has an address of its own", (name, taken, id) => {
  expect(idOf(name, taken)).toBe(id);
});

test("a year of which there is nothing stands in the strip as well", () => {
  const years = [
    { year: 2000, days: { rain_mm: 366 } },
    { year: 2002, days: { rain_mm: 360, low_c: 365 } },
  ];
  expect(strip({ years }).map(({ year, lacks }) => [year, lacks])).toEqual([
    [2000, 0],
    [2001, 365],
    [2002, 5],
  ]);
  expect(strip({ years: [] })).toEqual([]);
});
