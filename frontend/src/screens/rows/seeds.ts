/** Seed as it is being typed, what is wrong with it, and the row that it makes. */
import { figureText, readNumber } from "../../words/forms";
import { namedBody, namingOf, text, wrongNaming, type Naming } from "./typing";
import type { NamedBody, Wrong } from "./shapes";

const FIGURES = ["seeds_per_kg", "grams", "moisture_percent", "germination_percent"] as const;
type Figure = (typeof FIGURES)[number];

export interface SeedBody extends NamedBody, Partial<Record<Figure, number | null>> {
  readonly crop?: string | null;
  readonly source?: string | null;
  readonly harvested_on?: string | null;
  readonly tested_on?: string | null;
}

export interface SeedTyping extends Naming, Record<Figure, string> {
  crop: string;
  source: string;
  harvested_on: string | null;
  tested_on: string | null;
}

export function seedTyping(body: SeedBody | null, today: string, mark: string): SeedTyping {
  const figure = (key: Figure): string => {
    const value = body?.[key] ?? null;
    return value === null ? "" : figureText(value, mark);
  };
  return {
    ...namingOf(body, today),
    ...{ crop: body?.crop ?? "", source: body?.source ?? "" },
    ...{ harvested_on: body?.harvested_on ?? null, tested_on: body?.tested_on ?? null },
    seeds_per_kg: figure("seeds_per_kg"),
    grams: figure("grams"),
    moisture_percent: figure("moisture_percent"),
    germination_percent: figure("germination_percent"),
  };
}

export function wrongSeed(typed: SeedTyping, others: readonly string[]): Wrong | null {
  const amiss = FIGURES.find((key) => typed[key].trim() !== "" && !fits(key, typed[key]));
  const says =
    amiss === "seeds_per_kg" || amiss === "grams" ? "rows.odd_figure" : "rows.odd_percent";
  return (
    wrongNaming(typed, others) ??
    (amiss === undefined ? null : { field: amiss, value: typed[amiss], says })
  );
}

function fits(key: Figure, typed: string): boolean {
  const value = readNumber(typed);
  if (typeof value !== "number") return false;
  return key === "seeds_per_kg" || key === "grams" ? value > 0 : value <= 100;
}

/** The row; what this form does not show stays as it was. */
export function seedBody(typed: SeedTyping, before: SeedBody | null): SeedBody {
  const figures = FIGURES.map((key): [Figure, number | null] => {
    const value = readNumber(typed[key]);
    return [key, typeof value === "number" ? value : null];
  });
  const { name, since = null, until = null } = namedBody(typed, null);
  return {
    ...before,
    ...{ name, since, until },
    ...{ crop: text(typed.crop), source: text(typed.source) },
    ...{ harvested_on: typed.harvested_on, tested_on: typed.tested_on },
    ...Object.fromEntries(figures),
  };
}
