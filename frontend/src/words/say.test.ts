import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import english from "../../../nursery/words/en.json";
import spanish from "../../../nursery/words/es.json";
import { choose, load, type Catalogue, type Key, type Language } from "./catalogue";
import * as forms from "./forms";
import { PLAIN, speaker } from "./say";

interface Case {
  name: string;
  language: Language;
  key: Key;
  params: Record<string, unknown>;
  zone?: string;
  mark?: "." | ",";
  today?: string;
  said: string;
}

const CASES = JSON.parse(readFileSync("../tests/vectors/words.json", "utf8")) as Case[];
const FILES: Record<Language, Catalogue> = { en: english, es: spanish };
const speak = (language: Language, house = PLAIN) => speaker(language, FILES[language], house);

test.each(CASES)("$name", ({ language, key, params, said, ...manner }) => {
  const house = { ...PLAIN, ...manner };
  expect(speak(language, house).say(key, params)).toBe(said);
});

test("both languages have the same keys", () => {
  expect(Object.keys(spanish).sort()).toEqual(Object.keys(english).sort());
});

test("a language is loaded by itself", async () => {
  expect(Object.keys(await load("es"))).toContain("button.count");
});

test.each([
  [["es-PE", "en"], "es"],
  [["xx", "ES"], "es"],
  [[""], "en"],
  [[], "en"],
])("of %j the phone speaks %s", (wished, language) => {
  expect(choose(wished)).toBe(language);
});

describe("a sentence", () => {
  const own: Catalogue = {
    mixed: "{what|kind} of {places|and}",
    either: "{places|or}",
    odd: "{x|no_such_form}",
    many: { one: "one", other: "other", many: "many" },
    "kind.counted": "count",
  };
  const { say, word, join } = speaker("es", own);

  test("says a code in words, and joins a list", () => {
    expect(word("mixed", { what: "counted", places: ["T1", "Inés"] })).toBe("count of T1 e Inés");
    expect(word("either", { places: "T1" })).toBe("T1");
    expect(join(["7", "8"], "or")).toBe("7 u 8");
  });

  test("takes the form for a million where it is given", () => {
    expect([1, 2, 1_000_000, undefined].map((n) => word("many", { n }))).toEqual([
      "one",
      "other",
      "many",
      "other",
    ]);
  });

  test("of an unknown code or form shows what there is", () => {
    expect(word("mixed", { what: "new_kind", places: [] })).toBe("new_kind of ");
    expect(word("odd", { x: 3 })).toBe("3");
    expect(word("no.such")).toBeNull();
    expect(say("button.count")).toBe("button.count");
  });

  test("of a code of a newer version says that it is one", () => {
    const said = speak("en").say("doubt.no_paper", { kind: "new_kind" });
    expect(said).toContain("newer version");
  });
});

describe("days and spans", () => {
  const HOUSE = { zone: "Etc/GMT-10", mark: ",", today: "2031-08-13" } as const;
  const { say } = speak("en", HOUSE);
  test.each([
    [forms.days, "60", "60 days"],
    [forms.days, "63", "9 weeks"],
    [forms.minutes, "25", "25 min"],
    [forms.minutes, "780", "13 h"],
    [forms.minutes, "805", "13 h 25 min"],
    [forms.minutes, "12149", "8 d 10 h"],
    [forms.milliseconds, "-780000", "13 min"],
    [forms.longDay, "2031-08-13", "Wednesday 13 August"],
    [forms.monthPart, "2032-01-03", "early JAN"],
    [forms.monthPart, "2032-01-15", "mid JAN"],
    [forms.monthPart, "2032-01-26", "late JAN"],
    [forms.hour, "2031-08-12T06:30:00.000Z", "16:30"],
    [forms.since, "2031-08-13", "today"],
    [forms.since, "2031-08-12", "yesterday"],
    [forms.since, "2031-08-14", "tomorrow"],
    [forms.since, "2031-08-10", "3 days ago"],
    [forms.since, "2031-08-16", "in 3 days"],
  ])("%o of %s is %s", (form, value, said) => {
    expect(form(say, value, HOUSE)).toBe(said);
  });

  test("without a present day every day is the present one", () => {
    expect(forms.since(say, "2031-08-10", PLAIN)).toBe("today");
  });
});

test.each([
  ["2.5", 2.5],
  ["2,5", 2.5],
  ["12 000", 12_000],
  ["1.234", "ask"],
  ["1,234", "ask"],
  ["0.234", 0.234],
  ["", null],
  ["abc", null],
  ["1.2.3", null],
])("a person types %j and means %j", (text, meant) => {
  expect(forms.readNumber(text)).toBe(meant);
});

test.each([
  ["-2.5", -2.5],
  ["\u22123", -3],
  ["- 4", -4],
  ["4", 4],
  ["-1.234", "ask"],
  ["-", null],
  ["4-", null],
  ["--4", null],
])("of what may lie below zero %j means %j", (text, meant) => {
  expect(forms.readSigned(text)).toBe(meant);
  if (text.startsWith("-")) expect(forms.readNumber(text)).toBeNull();
});
