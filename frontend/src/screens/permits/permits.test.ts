import { describe, expect, test } from "vitest";
import en from "../../../../nursery/words/en.json";
import es from "../../../../nursery/words/es.json";
import vectors from "../../../../tests/vectors/terms.json";
import { speaker } from "../../words/say";
import type { Catalogue, Language } from "../../words/catalogue";
import { draftOf, filled, several, turnedDown } from "./draft";
import { saidBy, titleOf, labelOf } from "./inwords";
import { offered } from "./known";
import type { FieldShape, RuleShape, Term } from "./shapes";
import { ordered, quantity, termId, under, validity } from "./shapes";

const CATALOGUES = { en, es } as unknown as Record<Language, Catalogue>;
const voiceIn = (language: Language, mark: "." | "," = ".") => ({
  ...speaker(language, CATALOGUES[language], { zone: "UTC", mark, today: null }),
  mark,
  nameOf: (_: string, id: string): string => id,
});
const voice = voiceIn("en");

const field = (name: string, more: Partial<FieldShape> = {}): FieldShape => ({
  ...{ name, kind: "count", many: false, needed: false, default: null, choices: null },
  ...more,
});
const DAYS: RuleShape = { rule: "growing_days", fields: [field("days", { needed: true })] };
const LOOK: RuleShape = { rule: "look_over", fields: [field("every_days")] };
const INSPECTION: RuleShape = {
  rule: "inspection",
  fields: [
    field("number", { needed: true }),
    field("active_growth", { kind: "flag", default: false }),
    field("most_days_before_release"),
    field("all_plants", { kind: "flag", default: true }),
  ],
};
const SAMPLE: RuleShape = {
  rule: "sample_level",
  fields: [
    field("at", { kind: "choice", choices: ["arrival", "inspection"], needed: true }),
    field("prevalence", { kind: "number" }),
  ],
};
const OFF: RuleShape = {
  rule: "days_off",
  fields: [
    field("weekdays", { many: true, default: [] }),
    field("days", { kind: "day", many: true, default: [] }),
  ],
};
const CONSENT: RuleShape = {
  rule: "consent",
  fields: [field("acts", { kind: "name", many: true, needed: true })],
};
const WARMTH: RuleShape = { rule: "generations", fields: [field("lower", { kind: "number" })] };

describe("a rule in words", () => {
  test.each([
    [DAYS, { days: 180 }, "180 days of growth in quarantine"],
    [LOOK, {}, "once a calendar week, Monday to Sunday"],
    [LOOK, { every_days: 14 }, "every 14 days"],
    [
      INSPECTION,
      { number: 2, most_days_before_release: 7 },
      "inspection 2, at most 7 days before the release, all plants",
    ],
    [
      INSPECTION,
      { number: 1, active_growth: true, all_plants: false },
      "inspection 1, in active growth, some of the plants",
    ],
    [
      SAMPLE,
      { at: "inspection", prevalence: 0.05 },
      "official inspection, enough to notice 5 % infested",
    ],
    [CONSENT, { acts: ["potting", "pruning"] }, "before these: pot on and prune"],
    [OFF, { weekdays: [6, 7] }, "Saturday and Sunday"],
    [OFF, { days: ["2031-12-25"] }, "THU 25 DEC"],
  ] as [RuleShape, Record<string, unknown>, string][])("%j %j", (shape, says, said) => {
    expect(saidBy(shape, says, voice)).toBe(said);
  });

  test("in Spanish with its decimal mark", () => {
    expect(saidBy(DAYS, { days: 1 }, voiceIn("es", ","))).toBe(
      "1 día de crecimiento en cuarentena",
    );
  });

  test("what this version has no words for still says its figures", () => {
    const shape = { rule: "moon", fields: [field("full_moons")] };
    expect(titleOf("moon", voice)).toBe("Another condition");
    expect(saidBy(shape, { full_moons: 3 }, voice)).toBe("full moons: 3");
  });

  test("a field may be called otherwise in one rule", () => {
    expect(labelOf("inspection", "number", voice)).toBe("Which inspection: 1, 2…");
    expect(labelOf("growing_days", "days", voice)).toBe("Days");
  });
});

describe("a condition as it is typed", () => {
  test.each([
    [DAYS, { days: 180 }],
    [INSPECTION, { number: 1, active_growth: true, all_plants: false }],
    [SAMPLE, { at: "arrival", prevalence: 0.07 }],
    [OFF, { weekdays: [6, 7], days: ["2031-12-25"] }],
    [CONSENT, { acts: ["potting"] }],
  ] as [RuleShape, Record<string, unknown>][])("%j states what it was filled from: %j", (...of) => {
    const [shape, says] = of;
    expect(filled(shape, draftOf(shape, says, ","))).toEqual({ says, missing: [], odd: [] });
  });

  test("what the rule says by itself is not written again", () => {
    const draft = draftOf(INSPECTION, { number: 1 }, ".");
    expect(filled(INSPECTION, draft).says).toEqual({ number: 1 });
  });

  test("what is needed and what is no figure are named", () => {
    expect(filled(DAYS, { days: " " }).missing).toEqual(["days"]);
    expect(filled(CONSENT, { acts: [] }).missing).toEqual(["acts"]);
    expect(filled(DAYS, { days: "many" }).odd).toEqual(["days"]);
    expect(filled(DAYS, { days: "1.234" }).odd).toEqual(["days"]);
  });

  test("figures below nought and in per cent are read", () => {
    expect(filled(WARMTH, { lower: "−4,5" }).says).toEqual({ lower: -4.5 });
    expect(filled(SAMPLE, { at: "arrival", prevalence: "29" }).says).toEqual({
      at: "arrival",
      prevalence: 0.29,
    });
  });

  test.each([
    [
      { field: "says.days", value: "0" },
      { field: "days", value: "0" },
    ],
    [
      { field: "valid_to", value: "2030-01-01" },
      { field: "valid_to", value: "2030-01-01" },
    ],
    [{ field: "reference" }, { field: "reference", value: null }],
    [{}, null],
    [undefined, null],
  ] as const)("the office turned down %j", (params, found) => {
    expect(turnedDown(params)).toEqual(found);
  });

  test("several texts in one line", () => {
    expect(several(" hot water; ; dip ")).toEqual(["hot water", "dip"]);
  });

  test("pests are offered from the book, and what stands there stays", () => {
    const pests = [{ id: "scale", rev: 1, body: {} }];
    expect(offered("pests", pests, ["moth"])).toEqual(["scale", "moth"]);
    expect(offered("test", pests)).toEqual([]);
    expect(offered("fates", pests)).toContain("died");
  });
});

describe("a permit", () => {
  const term = (id: string, rule: string, since: string, says = {}): Term => ({
    ...{ id, rule, since, says, source: "text" },
  });
  const body = { reference: "X", holder: "G" };

  test.each([
    [{ valid_from: "2031-01-01", valid_to: "2031-12-31" }, "permits.valid", false],
    [{ valid_from: "2031-01-01" }, "permits.valid_after", false],
    [{ valid_to: "2031-02-28" }, "permits.valid_until", true],
    [{}, "permits.valid_always", false],
  ] as const)("is valid as %j", (days, key, over) => {
    expect(validity({ ...body, ...days }, "2031-03-01")).toMatchObject({ key, over });
  });

  test("lets in what its newest text says, once that holds", () => {
    const terms = [
      term("b", "most_plants", "2031-02-01", { plants: 400 }),
      term("a", "most_plants", "2031-01-01", { plants: 330 }),
      term("c", "most_plants", "2031-09-01", { plants: 900 }),
    ];
    expect(quantity({ ...body, terms }, "2031-03-01")).toBe(400);
    expect(quantity(body, "2031-03-01")).toBeNull();
  });

  test("has the consignments that name it", () => {
    const rows = [
      { id: "c-1", rev: 1, body: { permit: "p" } },
      { id: "c-2", rev: 1, body: {} },
    ];
    expect(under("p", rows)).toEqual(["c-1"]);
  });

  test("shows its conditions by rule, the newest text first", () => {
    const terms = [
      term("look", "look_over", "2031-01-01"),
      term("old", "growing_days", "2031-01-01"),
      term("moon", "moon", "2031-01-01"),
      term("new", "growing_days", "2031-05-01"),
    ];
    expect(ordered(terms, [DAYS, LOOK]).map(({ id }) => id)).toEqual([
      "new",
      "old",
      "look",
      "moon",
    ]);
  });

  test("names a condition as no other is named", () => {
    expect(termId("p", "look_over", [])).toBe("p-look-over");
    expect(termId("p", "look_over", ["p-look-over", "p-look-over-2"])).toBe("p-look-over-3");
  });
});

/** What the paper says of the same conditions: `tests/paper/test_release_terms.py` reads them too. */
describe("a rule is said as on paper", () => {
  test.each(vectors)("$rule", (one) => {
    const shape = { rule: one.rule, fields: one.fields } as RuleShape;
    for (const [language, mark] of [
      ["en", "."],
      ["es", ","],
    ] as const) {
      const told = voiceIn(language, mark);
      expect([titleOf(one.rule, told), saidBy(shape, one.says, told)]).toEqual(one.said[language]);
    }
  });
});
