/**
 * The word catalogue: one file per language, read by Python as well.
 *
 * A language is its own piece of the build, so that a phone loads the one it speaks.
 */
import type english from "../../../nursery/words/en.json";

export type Key = keyof typeof english;
export type Forms =
  string | { readonly one: string; readonly other: string; readonly many?: string };
export type Catalogue = Readonly<Record<string, Forms>>;

export const LANGUAGES = ["en", "es"] as const;
export type Language = (typeof LANGUAGES)[number];

const FILES: Record<Language, () => Promise<{ default: Catalogue }>> = {
  en: () => import("../../../nursery/words/en.json"),
  es: () => import("../../../nursery/words/es.json"),
};

export async function load(language: Language): Promise<Catalogue> {
  return (await FILES[language]()).default;
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
