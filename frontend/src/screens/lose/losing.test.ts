import { describe, expect, test } from "vitest";
import { blank, bodyOf, draftsOf, figuresOf, filled, nextSample } from "./losing";

const USUAL = { kept: true, byAuditor: false };
const AT = { id: "b-1", prefix: "S-", find: "f-1" };

describe("a loss", () => {
  test("of two dead goes into the bag as the conditions have it", () => {
    const form = { ...blank("died", "04"), count: 2, cause: "stem_rot" };
    expect(draftsOf(form, USUAL, AT)).toEqual([
      {
        kind: "lost",
        about: ["b-1"],
        body: { count: 2, fate: "died", cause: "stem_rot", kept: true, by_auditor: false },
      },
    ]);
  });

  test("is as the person said, whatever is usual", () => {
    const form = { ...blank("died", ""), count: 1, kept: false, byAuditor: true };
    expect(bodyOf(form, USUAL)).toEqual({ count: 1, fate: "died", kept: false, by_auditor: true });
  });

  test("of whole plants sampled is two records that name one sample", () => {
    const form = { ...blank("sampled", "04"), count: 1, laboratory: "Orrin plant laboratory" };
    const [sampled, lost] = draftsOf(form, { kept: false, byAuditor: true }, AT);
    expect(sampled).toEqual({
      kind: "sampled",
      about: ["b-1"],
      body: {
        ...{ sample: "S-04", plants: 1, whole: true, laboratory: "Orrin plant laboratory" },
        found: "f-1",
      },
    });
    expect(lost?.body).toEqual({
      ...{ count: 1, fate: "sampled", cause: "S-04", kept: false, by_auditor: true },
    });
  });

  test("of a sample that is for no find names none", () => {
    const form = { ...blank("sampled", "04"), count: 1, forFind: false };
    expect(draftsOf(form, USUAL, AT)[0]?.body).toEqual({ sample: "S-04", plants: 1, whole: true });
    const none = draftsOf({ ...form, forFind: true }, USUAL, { ...AT, find: null });
    expect(none[0]?.body).not.toHaveProperty("found");
  });

  test("by an order names it, and only a destruction does", () => {
    const form = { ...blank("destroyed", ""), count: 50, order: "Q-09" };
    expect(bodyOf(form, USUAL)).toMatchObject({ order: "Q-09" });
    expect(bodyOf({ ...form, fate: "died" }, USUAL)).not.toHaveProperty("order");
  });

  test("opens again as it was kept", () => {
    const kept = { count: 2, fate: "died", cause: "heat", kept: true, by_auditor: false } as const;
    expect(bodyOf(filled(kept), USUAL)).toEqual(kept);
    expect(bodyOf(filled({ count: 1, fate: "stolen" }), USUAL)).toEqual({
      ...{ count: 1, fate: "stolen", kept: false, by_auditor: false },
    });
  });
});

test.each([
  [["S-01", "S-03"], "S-", "04"],
  [[], "S-", "01"],
  [["LAB9"], "LAB", "10"],
])("after the samples %j comes %s%s", (known, prefix, figures) => {
  expect(nextSample(known)).toEqual({ prefix, figures });
});

test.each([
  ["", "02", "02"],
  ["3", "02", "03"],
  ["12", "02", "12"],
  ["117", "02", "117"],
])("%s typed where %s comes next is written %s", (typed, next, written) => {
  expect(figuresOf(typed, next)).toBe(written);
});
