/**
 * Sentences for people.
 *
 * Twin of `nursery/services/words.py`; `tests/vectors/words.json` keeps the two alike.
 */
import type { Catalogue, Key, Language } from "./catalogue";
import * as forms from "./forms";
import { once } from "./once";

const HOLE = /\{(\w+)(?:\|(\w+))?\}/g;

// Codes that a sentence may carry: the hole's form names the family of keys.
const FAMILIES = new Set(
  "cause gate grade kind look method order result stage status term".split(" "),
);

const FORMS: Readonly<Record<string, forms.Form>> = {
  day: forms.day,
  bare_day: forms.bareDay,
  long_day: forms.longDay,
  month_part: forms.monthPart,
  moment: forms.moment,
  hour: forms.hour,
  since: forms.since,
  days: forms.days,
  minutes: forms.minutes,
  ms: forms.milliseconds,
};

export const PLAIN: forms.House = { zone: "UTC", mark: ".", today: null };

export interface Speaker {
  /** The sentence in words; the plural form follows the parameter `n`. */
  readonly say: forms.Say;
  /** As `say`, for a key put together from a code; null where the catalogue has no such word. */
  readonly word: (key: string, params?: forms.Params) => string | null;
  readonly join: (items: readonly string[], word?: "and" | "or") => string;
}

export function speaker(
  language: Language,
  catalogue: Catalogue,
  house: forms.House = PLAIN,
): Speaker {
  function word(key: string, params: forms.Params = {}): string | null {
    const found = catalogue[key];
    if (found === undefined) return null;
    const sentence = typeof found === "string" ? found : chosen(found, params["n"]);
    return sentence.replace(HOLE, (_, name: string, form?: string) => fill(params[name], form));
  }

  function chosen(found: Exclude<Catalogue[string], string>, n: unknown): string {
    const form = typeof n === "number" ? plurals(language).select(n) : "other";
    return form === "one" ? found.one : form === "many" ? (found.many ?? found.other) : found.other;
  }

  function fill(value: unknown, form: string | undefined): string {
    if (form === undefined) {
      return typeof value === "number" ? forms.number(value, house.mark) : String(value);
    }
    if (FAMILIES.has(form)) {
      return word(`${form}.${String(value)}`) ?? word(`${form}.other`) ?? String(value);
    }
    if (form === "and" || form === "or") {
      const items: readonly unknown[] = Array.isArray(value) ? value : [value];
      return list(
        items.map((item) => fill(item, undefined)),
        form,
      );
    }
    return FORMS[form]?.(say, String(value), house) ?? String(value);
  }

  function say(key: Key, params: forms.Params = {}): string {
    return word(key, params) ?? key;
  }

  function list(items: readonly string[], word: keyof typeof JOINED = "and"): string {
    return lists(`${language} ${word}`).format(items);
  }

  return { say, word, join: list };
}

// Made where a sentence first needs one: each costs a slow phone as long as a dozen lines of a sheet.
const plurals = once((language) => new Intl.PluralRules(language));
const JOINED = { and: "conjunction", or: "disjunction" } as const;
const lists = once((named) => {
  const [language, word] = named.split(" ") as [Language, keyof typeof JOINED];
  return new Intl.ListFormat(language === "en" ? "en-GB" : language, { type: JOINED[word] });
});
