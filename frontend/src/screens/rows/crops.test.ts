import { describe, expect, test } from "vitest";
import { freeIdOf } from "../../log/seats";
import { cropBody, cropTyping, NO_POT, wrongCrop, type PotTyping } from "./crops";
import { undescribed } from "./listed";
import type { CropBody } from "./shapes";

const TODAY = "2031-03-03";
const LIME: CropBody = {
  name: "Lime",
  called: [{ language: "es", text: "Lima" }],
  botanical: "Citrus fictus",
  cultivar: "Ember",
  pots: [
    { container: "1 L", source: "Own records", full_days: 180, per_m2: 18.5 },
    { container: "tray", source: "Own records" },
  ],
  since: "2031-01-01",
};

describe("a crop as it is typed", () => {
  test("is the row that it was filled from, with either mark", () => {
    for (const mark of [".", ","]) {
      expect(cropBody(cropTyping(LIME, TODAY, mark), LIME)).toEqual({ ...LIME, until: null });
    }
  });

  test("a container that nobody filled in is left out", () => {
    const typed = cropTyping(LIME, TODAY, ".");
    expect(cropBody({ ...typed, pots: [...typed.pots, { ...NO_POT }] }, LIME).pots).toEqual(
      LIME.pots,
    );
  });

  test.each([
    [
      { container: " ", per_m2: "4" },
      { field: "pot-1-container", value: " " },
    ],
    [{ container: "1  l" }, { field: "pot-1-container", value: "1  l", says: "rows.twice" }],
    [{ full_days: "0" }, { field: "pot-1-full_days", value: "0", says: "rows.odd_days" }],
    [{ full_days: "9.5" }, { field: "pot-1-full_days", value: "9.5", says: "rows.odd_days" }],
    [{ full_days: "soon" }, { field: "pot-1-full_days", value: "soon", says: "rows.odd_days" }],
    [{ per_m2: "0" }, { field: "pot-1-per_m2", value: "0", says: "rows.odd_per_m2" }],
    [{ per_m2: "1.234" }, { field: "pot-1-per_m2", value: "1.234", says: "rows.odd_per_m2" }],
    [{ source: "" }, { field: "pot-1-source", value: null }],
    [{ full_days: "", per_m2: "" }, null],
  ] as [Partial<PotTyping>, object | null][])(
    "its second container says %j: %j",
    (change, wrong) => {
      const pot = { container: "2 L", full_days: "90", per_m2: "12,5", source: "Own", ...change };
      const [first] = cropTyping(LIME, TODAY, ".").pots;
      const pots = [...(first ? [first] : []), pot];
      expect(wrongCrop({ ...cropTyping(LIME, TODAY, "."), pots }, [])).toEqual(wrong);
    },
  );
});

test("a crop has the id that a phone gave it, or one of its own", () => {
  expect(freeIdOf("Passion fruit", [])).toBe("Passion_fruit");
  expect(freeIdOf("Passion fruit", ["Passion_fruit", "Passion_fruit_2"])).toBe("Passion_fruit_3");
});

test("crops that batches name and no row describes", () => {
  const batches = [{ crop: "papaya" }, { crop: null }, { crop: "lime" }, { crop: "papaya" }];
  expect(undescribed(batches, [{ id: "lime" }])).toEqual(["papaya"]);
});
