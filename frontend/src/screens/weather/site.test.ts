import { expect, test } from "vitest";
import { bodyOf, typingOf, wrongOf, type SiteBody, type Typing } from "./site";

const KEPT: SiteBody = {
  latitude: -17.25,
  elevation_m: 1250,
  soil: "clay",
  hole_cm: 40,
  rains: { amount_mm: 20 },
  cost_plant: 2.5,
  currency: "CAL",
};

test("a row that is typed as it stands stays as it is", () => {
  const typed = bodyOf(typingOf(KEPT, ","), KEPT);
  expect(Object.fromEntries(Object.entries(typed).filter(([, value]) => value !== null))).toEqual(
    KEPT,
  );
  expect(typingOf(KEPT, ",")).toMatchObject({ degrees: "17,25", side: "south", cost_plant: "2,5" });
});

const WRONG: [Partial<Typing>, keyof Typing, string][] = [
  [{ degrees: "" }, "degrees", "missing"],
  [{ side: null }, "side", "missing"],
  [{ hole_cm: "deep" }, "hole_cm", "no_figure"],
  [{ elevation_m: "1.250" }, "elevation_m", "two_ways"],
  [{ plants_per_day: "120.5" }, "plants_per_day", "not_whole"],
];

test.each(WRONG)("%j is wrong at %s: %s", (typed, field, says) => {
  expect([...wrongOf({ ...typingOf(KEPT, "."), ...typed })]).toEqual([[field, says]]);
});

test("a place without a row says neither side nor degrees, and what is emptied is left out", () => {
  expect([...wrongOf(typingOf(null, ".")).keys()]).toEqual(["degrees", "side"]);
  const emptied = bodyOf({ ...typingOf(KEPT, "."), cost_plant: " ", amount_mm: "" }, KEPT);
  expect([emptied.cost_plant, emptied.rains]).toEqual([null, {}]);
  expect(bodyOf({ ...typingOf(KEPT, "."), side: "north" }, KEPT).latitude).toBe(17.25);
});
