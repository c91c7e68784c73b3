import { expect, test } from "vitest";
import { bodyOf, typingOf, wrongOf, type SiteBody, type Typing } from "./site";

const KEPT: SiteBody = {
  latitude: -17.25,
  elevation_m: 1250,
  soil: "clay",
  hole_cm: 40,
  rains: { amount_mm: 20 },
  planting: { heat_go_c: 31.5, fit_go: 0.85, days_go: 9 },
  cost_plant: 2.5,
  currency: "CAL",
};

test("a row that is typed as it stands stays as it is", () => {
  const typed = bodyOf(typingOf(KEPT, ","), KEPT);
  expect(Object.fromEntries(Object.entries(typed).filter(([, value]) => value !== null))).toEqual(
    KEPT,
  );
  expect(typingOf(KEPT, ",")).toMatchObject({ degrees: "17,25", side: "south", cost_plant: "2,5" });
  expect(typingOf(KEPT, ",")).toMatchObject({ heat_go_c: "31,5", fit_go: "85", fit_wait: "" });
});

const USUAL = { heat_go_c: 32, heat_no_c: 35, dry_spell_go: 0.3, dry_spell_no: 0.5 };

test("two levels that contradict each other are both told, and one at the edge is none", () => {
  const typing = typingOf(KEPT, ".");
  const both = wrongOf({ ...typing, wet_to_cm: "9", wet_wait_cm: "10" }, USUAL);
  expect([...both.keys()]).toEqual(["wet_to_cm", "wet_wait_cm"]);
  expect(wrongOf({ ...typing, heat_no_c: "31.5", dry_spell_go: "50" }, USUAL).size).toBe(0);
});

const WRONG: [Partial<Typing>, keyof Typing, string][] = [
  [{ degrees: "" }, "degrees", "missing"],
  [{ side: null }, "side", "missing"],
  [{ hole_cm: "deep" }, "hole_cm", "no_figure"],
  [{ elevation_m: "1.250" }, "elevation_m", "two_ways"],
  [{ plants_per_day: "120.5" }, "plants_per_day", "not_whole"],
  [{ wet_days: "2.5" }, "wet_days", "not_whole"],
  [{ heat_no_c: "31" }, "heat_no_c", "wrong_side"],
  [{ dry_spell_go: "51" }, "dry_spell_go", "wrong_side"],
  [{ heat_no_c: "hot" }, "heat_no_c", "no_figure"],
];

test.each(WRONG)("%j is wrong at %s: %s", (typed, field, says) => {
  const typing = { ...typingOf(KEPT, "."), heat_go_c: "", ...typed };
  expect([...wrongOf(typing, USUAL)]).toEqual([[field, says]]);
});

test("a place without a row says neither side nor degrees, and what is emptied is left out", () => {
  expect([...wrongOf(typingOf(null, ".")).keys()]).toEqual(["degrees", "side"]);
  const emptied = bodyOf({ ...typingOf(KEPT, "."), cost_plant: " ", amount_mm: "" }, KEPT);
  expect([emptied.cost_plant, emptied.rains]).toEqual([null, {}]);
  expect(bodyOf({ ...typingOf(KEPT, "."), side: "north" }, KEPT).latitude).toBe(17.25);
});
