import { expect, test } from "vitest";
import { ahead, collisions, fullOn, toldLost } from "./season";

const reason = (code: string, params = {}) => ({ code, params });
const LOST = reason("main_weeks_lost", { first: "2031-10-01" });
const FULL = reason("pots_full", { on: "2032-01-25", container: "1 L" });
const BEFORE = reason("pots_full_before", { n: 5 });
const batch = (...season: ReturnType<typeof reason>[]) => ({ outlook: { season } });

test("a lost season and pots that do not last are told, each once", () => {
  expect(collisions(batch(LOST, FULL, BEFORE))).toEqual([LOST, BEFORE]);
  const free = reason("pots_full_free", { n: 5 });
  expect(collisions(batch(FULL, free))).toEqual([free]);
  expect(toldLost(batch(LOST))).toBe(true);
});

test("planting weeks and full pots have lines of their own", () => {
  expect(collisions(batch(reason("planting_weeks"), FULL))).toEqual([]);
  expect(fullOn(batch(FULL))).toBe("2032-01-25");
});

test("of what the office has not told nothing is said", () => {
  expect(ahead(undefined)).toEqual([]);
  expect(fullOn({ outlook: null })).toBeNull();
  expect(toldLost({})).toBe(false);
});
