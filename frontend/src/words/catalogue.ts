/**
 * The word catalogue: one file per language, read by Python as well.
 *
 * A language is cut in two: what the first route says, which comes with the app's own script, and
 * the rest, which a phone loads right after for the language that it speaks.
 */
import type english from "../../../nursery/words/en.json";
import firstEnglish from "../../../nursery/words/en.json?first";
import firstSpanish from "../../../nursery/words/es.json?first";

export type Key = keyof typeof english;
export type Forms =
  string | { readonly one: string; readonly other: string; readonly many?: string };
export type Catalogue = Readonly<Record<string, Forms>>;

export const LANGUAGES = ["en", "es"] as const;
export type Language = (typeof LANGUAGES)[number];

type Part = () => Promise<{ default: Catalogue }>;

/** What the first route says: a file of its own would be one more that a cold start waits for. */
export const FIRST: Readonly<Record<Language, Catalogue>> = { en: firstEnglish, es: firstSpanish };
const REST: Record<Language, Part> = {
  en: () => import("../../../nursery/words/en.json?rest"),
  es: () => import("../../../nursery/words/es.json?rest"),
};

/** Everything that the app says. */
export async function load(language: Language): Promise<Catalogue> {
  return { ...FIRST[language], ...(await REST[language]()).default };
}

/** The first of the wished languages that has a catalogue; English where none has. */
export function choose(wished: readonly string[]): Language {
  for (const wish of wished) {
    const code = wish.toLowerCase().split("-")[0];
    const known = LANGUAGES.find((language) => language === code);
    if (known) return known;
  }
  return "en";
}
