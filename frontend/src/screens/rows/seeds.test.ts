import { describe, expect, test } from "vitest";
import { seedBody, seedTyping, wrongSeed, type SeedBody } from "./seeds";

const TODAY = "2031-03-03";
const SEED: SeedBody = {
  ...{ name: "Mango, terrace 2", crop: "mango", source: "tree 4" },
  ...{ harvested_on: "2031-02-20", tested_on: null },
  ...{ seeds_per_kg: 62.5, grams: 4000, moisture_percent: 38, germination_percent: 92 },
  ...{ since: TODAY, until: null },
};

test("a row is the one that it was filled from, with either mark", () => {
  for (const mark of [".", ","]) {
    expect(seedBody(seedTyping(SEED, TODAY, mark), SEED)).toEqual(SEED);
  }
});

test("new seed is offered from today on, and what nobody typed is not known", () => {
  const typed = { ...seedTyping(null, TODAY, "."), name: " Own  fruit " };
  expect(seedBody(typed, null)).toMatchObject({
    ...{ name: "Own fruit", since: TODAY, crop: null, grams: null, germination_percent: null },
  });
});

describe("what cannot be is said by its field", () => {
  test.each([
    [{ name: " " }, { field: "name", value: null }],
    [{ grams: "0" }, { field: "grams", value: "0", says: "rows.odd_figure" }],
    [{ seeds_per_kg: "1.234" }, { field: "seeds_per_kg", value: "1.234", says: "rows.odd_figure" }],
    [
      { germination_percent: "101" },
      { field: "germination_percent", value: "101", says: "rows.odd_percent" },
    ],
    [{ moisture_percent: "0" }, null],
  ])("%j: %j", (change, wrong) => {
    expect(wrongSeed({ ...seedTyping(SEED, TODAY, "."), ...change }, [])).toEqual(wrong);
  });
});
