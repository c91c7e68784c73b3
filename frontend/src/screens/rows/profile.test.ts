import { describe, expect, test } from "vitest";
import shipped from "../../../../nursery/domain/reference/crops.json";
import { cropBody, cropTyping, wrongCrop } from "./crops";
import {
  isChanged,
  NO_PROFILE,
  profileBody,
  profileTyping,
  shadesOf,
  wrongProfile,
  type ProfileBody,
  type ProfileTyping,
} from "./profile";

const STARTS = shipped as unknown as readonly ProfileBody[];
const found = STARTS.find(({ id }) => id === "cacao");
if (found === undefined) throw new Error("cacao is not shipped");
const CACAO: ProfileBody = found;

function typed(changes: Record<string, { low: string; high: string }>, shade?: string) {
  const made = profileTyping(CACAO, ".");
  return { ...made, shade: shade ?? made.shade, figures: { ...made.figures, ...changes } };
}

describe("a profile as it is typed", () => {
  test.each(STARTS.map((one) => [one.id, one] as const))(
    "%s is the copy that it was filled from, with either mark",
    (_, one) => {
      for (const mark of [".", ","]) {
        expect(profileBody(profileTyping(one, mark))).toEqual({ ...one });
      }
      expect(wrongProfile(profileTyping(one, "."))).toBeNull();
    },
  );

  test("a figure that was changed is the grower's own, all others keep their source", () => {
    const body = profileBody(typed({ nursery_weeks: { low: "20", high: "" } }));
    expect(body?.nursery_weeks).toEqual({ low: 20, high: null, source: null, own: true });
    expect(body?.litres).toEqual(CACAO.litres);
  });

  test("a figure that was emptied is left out, one that was added is the grower's own", () => {
    const body = profileBody(
      typed({
        "warmth_c.chill_below": { low: "", high: "" },
        "least.nodes": { low: "4", high: "6" },
      }),
    );
    expect(Object.keys(body?.warmth_c ?? {})).toEqual(["growth_from", "growth_to"]);
    expect(body?.least["nodes"]).toEqual({ low: 4, high: 6, source: null, own: true });
  });

  test("other shades are the grower's own and lose the waters of the old steps", () => {
    const body = profileBody(typed({}, "60; 40; 20; 0"));
    expect(body).toMatchObject({ shade: [60, 40, 20, 0], shade_own: true, water_days: [] });
  });

  test("pests keep their codes by their names", () => {
    const made: ProfileTyping = { ...typed({}), pests: "frosty pod; ants", container: "" };
    expect(profileBody(made)).toMatchObject({
      pests: [
        { name: "frosty pod", code: "MONPRO" },
        { name: "ants", code: null },
      ],
      container: null,
    });
  });

  test("nothing typed is no profile", () => {
    expect(profileBody({ ...NO_PROFILE })).toBeNull();
    expect(wrongProfile({ ...NO_PROFILE })).toBeNull();
    expect(profileTyping(null, ".")).toEqual(NO_PROFILE);
  });
});

test.each([
  [{ litres: { low: "", high: "" } }, "profile.litres", undefined],
  [{ litres: { low: "x", high: "" } }, "profile.litres", "profile.odd_figure"],
  [{ litres: { low: "2", high: "x" } }, "profile.litres", "profile.odd_figure"],
  [{ litres: { low: "2", high: "1" } }, "profile.litres", "profile.odd_range"],
  [{ "spacing_m.0.1": { low: "", high: "" } }, "profile.spacing_m.0.1", undefined],
  [
    {
      "least.height_cm": { low: "", high: "" },
      "least.leaves": { low: "", high: "" },
      "least.collar_mm": { low: "", high: "" },
    },
    "profile.least.height_cm",
    undefined,
  ],
])("%o is wrong by its field", (changes, field, says) => {
  const wrong = wrongProfile(typed(changes));
  expect(wrong?.field).toBe(field);
  expect(wrong?.says).toBe(says);
});

test.each([
  ["70; 50 %; 30", [70, 50, 30]],
  ["50;50", null],
  ["30; 50", null],
  ["101; 0", null],
  ["dark", null],
  ["", null],
])("shades of %j", (text, shades) => {
  expect(shadesOf(text)).toEqual(shades);
  if (shades === null) expect(wrongProfile(typed({}, text))?.field).toBe("profile.shade");
});

test("a range that is closed is another figure", () => {
  expect(isChanged({ low: "1", high: "2" }, { low: 1, high: 2 })).toBe(false);
  expect(isChanged({ low: "1", high: "" }, { low: 1, high: 2 })).toBe(true);
  expect(isChanged({ low: "", high: "" }, null)).toBe(false);
});

test("a crop carries the profile, and a form without one leaves none behind", () => {
  const body = { name: "Cacao", profile: CACAO };
  const form = cropTyping(body, "2031-03-03", ".");
  expect(cropBody(form, body).profile).toEqual(CACAO);
  expect(cropBody({ ...form, profile: { ...NO_PROFILE } }, body).profile).toBeNull();
  expect(cropBody({ ...form, profile: { ...NO_PROFILE } }, null)).not.toHaveProperty("profile");
  const odd = { ...form, profile: { ...form.profile, shade: "x" } };
  expect(wrongCrop(odd, [])?.field).toBe("profile.shade");
});
