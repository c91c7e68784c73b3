import { describe, expect, test } from "vitest";
import { isInUse } from "../../log/in-use";
import { titleOf } from "./facts";
import type { PestBody } from "./shapes";
import { listingsOf } from "./listed";
import { pestBody, pestTyping, wrongPest } from "./typing";

const TODAY = "2031-03-03";
const SCALE: PestBody = {
  name: "Spiny scale",
  called: [
    { language: "es", text: "Escama espinosa" },
    { language: "fr", text: "Cochenille" },
  ],
  code: "SCALSP",
  botanical: "Coccus fictus",
  hosts: ["lime"],
  act_from: 0.5,
  since: "2031-01-01",
};

describe("a row is offered", () => {
  test.each([
    [{}, true],
    [{ since: TODAY, until: TODAY }, true],
    [{ since: "2031-03-04" }, false],
    [{ until: "2031-03-02" }, false],
    [{ since: null, until: null }, true],
  ] as const)("%j on the day: %s", (held, offered) => {
    expect(isInUse(held, TODAY)).toBe(offered);
  });
});

describe("a pest as it is typed", () => {
  test("is the row that it was filled from, in a language that the app does not speak too", () => {
    expect(pestBody(pestTyping(SCALE, TODAY), SCALE)).toEqual({ ...SCALE, until: null });
  });

  test("a new one is offered from today on", () => {
    const typed = pestTyping(null, TODAY);
    expect([typed.since, typed.until, typed.name]).toEqual([TODAY, null, ""]);
  });

  test("is tidied: blanks, capitals of a code, what is empty", () => {
    const typed = { ...pestTyping(null, TODAY), name: "  Red   mite ", code: " redmt " };
    const made = pestBody({ ...typed, called: { en: " ", es: " Araña  roja" } }, null);
    expect(made).toMatchObject({ name: "Red mite", code: "REDMT", botanical: null });
    expect(made.called).toEqual([{ language: "es", text: "Araña roja" }]);
  });

  test.each([
    [{ name: " " }, { field: "name", value: null }],
    [{ name: "red  MITE" }, { field: "name", value: "red MITE", says: "rows.twice" }],
    [{ code: "ab" }, { field: "code", value: "AB", says: "rows.odd_code" }],
    [{ code: "ab-cde" }, { field: "code", value: "AB-CDE", says: "rows.odd_code" }],
    [{ until: "2030-12-31" }, { field: "until", value: "2030-12-31", says: "rows.ends_first" }],
    [{ code: "scals" }, null],
    [{ actFrom: "a few" }, { field: "act_from", value: "a few", says: "rows.odd_level" }],
    [{ actFrom: "0" }, { field: "act_from", value: "0", says: "rows.odd_level" }],
    [{ actFrom: "0,25" }, null],
    [{ actFrom: " " }, null],
    [{ code: "" }, null],
  ])("%j: %j", (change, wrong) => {
    expect(wrongPest({ ...pestTyping(SCALE, TODAY), ...change }, ["Red mite"])).toEqual(wrong);
  });
});

test("a row is called by the language's own name, else by its name", () => {
  expect(["es", "en"].map((language) => titleOf(SCALE, language))).toEqual([
    "Escama espinosa",
    "Spiny scale",
  ]);
});

test("a pest is listed by the permits and own rules that name it", () => {
  const term = (rule: string, says: object) => ({
    ...{ id: "t", rule, says: says as Record<string, unknown>, since: TODAY, source: "text" },
  });
  const permits = [
    {
      ...{ id: "p-1", rev: 1 },
      body: {
        ...{ reference: "P", holder: "G" },
        terms: [term("listed", { pests: ["scale", "mite"] }), term("look_over", {})],
      },
    },
  ];
  const own = [{ id: "own", rev: 1, body: { term: term("listed", { pests: ["mite"] }) } }];
  expect(listingsOf(permits, own)).toEqual([
    { pest: "scale", since: TODAY, permit: "p-1" },
    { pest: "mite", since: TODAY, permit: "p-1" },
    { pest: "mite", since: TODAY, permit: "" },
  ]);
});
