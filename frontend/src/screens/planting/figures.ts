/** Figures that are typed for a planting day: what is read of them, and which are asked for again. */
import { readSigned } from "../../words/forms";

export interface Typed {
  readonly key: string;
  readonly text: string;
  readonly value: number | "ask" | null;
}

interface Bounds {
  readonly least: number;
  readonly most: number;
}

/** Figures outside are asked for again, never refused. (Common sense, no source.) */
export const BOUNDS: Readonly<Record<string, Bounds>> = {
  wet_to_cm: { least: 0, most: 150 },
  pits_ready: { least: 0, most: 20_000 },
  shelter_cm: { least: 0, most: 600 },
  dry_spell_percent: { least: 0, most: 100 },
  high_c: { least: -10, most: 50 },
  low_c: { least: -20, most: 40 },
  rain_mm: { least: 0, most: 300 },
  wind_kmh: { least: 0, most: 150 },
};

/** A key is what is measured, behind whatever it is measured of: `terrace-3 wet_to_cm`. */
export function keyOf(of: string, what: string): string {
  return `${of} ${what}`;
}

export function partsOf(key: string): [of: string, what: string] {
  const at = key.lastIndexOf(" ");
  return [key.slice(0, at), key.slice(at + 1)];
}

export function typedIn(figures: Readonly<Record<string, string>>): Typed[] {
  return Object.entries(figures)
    .filter(([, text]) => text !== "")
    .map(([key, text]) => ({ key, text, value: readSigned(text) }));
}

export function isUnread({ value }: Typed): boolean {
  return typeof value !== "number";
}

export function isOdd({ key, value }: Typed): boolean {
  const bounds = BOUNDS[partsOf(key)[1]];
  if (typeof value !== "number" || bounds === undefined) return false;
  return value < bounds.least || value > bounds.most;
}

/** What was measured, by what it is of, in the order in which it was typed. */
export function byPart(typed: readonly Typed[]): Map<string, { what: string; value: number }[]> {
  const found = new Map<string, { what: string; value: number }[]>();
  for (const { key, value } of typed) {
    if (typeof value !== "number") continue;
    const [of, what] = partsOf(key);
    found.set(of, [...(found.get(of) ?? []), { what, value }]);
  }
  return found;
}
