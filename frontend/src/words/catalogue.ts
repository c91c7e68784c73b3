/**
 * The word catalogue: one file per language, read by Python as well.
 *
 * A language is two pieces of the build: what the first route says, and the rest, which a phone loads
 * right after. It loads the language that it speaks.
 */
import type english from "../../../nursery/words/en.json";

export type Key = keyof typeof english;
export type Forms =
  string | { readonly one: string; readonly other: string; readonly many?: string };
export type Catalogue = Readonly<Record<string, Forms>>;

export const LANGUAGES = ["en", "es"] as const;
export type Language = (typeof LANGUAGES)[number];

type Part = () => Promise<{ default: Catalogue }>;

const FIRST: Record<Language, Part> = {
  en: () => import("../../../nursery/words/en.json?first"),
  es: () => import("../../../nursery/words/es.json?first"),
};
const REST: Record<Language, Part> = {
  en: () => import("../../../nursery/words/en.json?rest"),
  es: () => import("../../../nursery/words/es.json?rest"),
};

/** What the first route says; the rest comes by `load`. */
export async function loadFirst(language: Language): Promise<Catalogue> {
  return (await FIRST[language]()).default;
}

/** Everything that the app says. */
export async function load(language: Language): Promise<Catalogue> {
  const [first, rest] = await Promise.all([FIRST[language](), REST[language]()]);
  return { ...first.default, ...rest.default };
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
