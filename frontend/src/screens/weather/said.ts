/** What a grower says of the columns of a file, and how it travels to the office. */
import type { Found, Series, Year } from "./shapes";

export const ORDERS = ["day_first", "month_first"] as const;
export type Order = (typeof ORDERS)[number];

export const MARKS = ["point", "comma"] as const;
export type Mark = (typeof MARKS)[number];

export interface Choices {
  /** Measure and unit by a column's place; empty where the headings say it. */
  readonly columns: Readonly<Record<string, readonly [string, string]>>;
  readonly days: readonly number[];
  readonly order: Order | null;
  /** The sign before the decimals; null where the figures say it. */
  readonly mark: Mark | null;
  readonly leave_out: boolean;
}

export const NOTHING_SAID: Choices = {
  ...{ columns: {}, days: [], order: null, mark: null },
  leave_out: false,
};
export const DAY = "day";

/** What each column is taken as now: what was said, or else what was found. */
export function takenAs(shown: Found, said: Choices): Choices["columns"] {
  if (Object.keys(said.columns).length > 0) return said.columns;
  return Object.fromEntries(
    shown.columns.map(({ place, measure, unit }) => [String(place), [measure, unit] as const]),
  );
}

/** Say what a column is: a measure, the day, or nothing (an empty text). */
export function saidOf(
  shown: Found,
  said: Choices,
  place: number,
  measure: string,
  unit: string,
): Choices {
  const days = (said.days.length > 0 ? said.days : shown.days_at).filter((one) => one !== place);
  const others = Object.entries(takenAs(shown, said)).filter(([at]) => at !== String(place));
  if (measure === DAY) return { ...said, columns: Object.fromEntries(others), days: [place] };
  if (measure !== "") others.push([String(place), [measure, unit]]);
  return { ...said, columns: Object.fromEntries(others), days };
}

export function query(said: Choices, more: Readonly<Record<string, string>> = {}): string {
  const { order, mark, ...rest } = said;
  const choices = JSON.stringify({
    ...rest,
    ...(order === null ? {} : { order }),
    ...(mark === null ? {} : { mark }),
  });
  return new URLSearchParams({ choices, ...more }).toString();
}

/** A name for the address of a new series, that no other has. */
export function idOf(name: string, taken: readonly string[]): string {
  const plain = name
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[\u0300-\u036f]/g, "")
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 32)
    .replace(/^-+|-+$/g, "");
  const stem = plain === "" ? "series" : plain;
  let found = stem;
  for (let n = 2; taken.includes(found); n += 1) found = `${stem}-${n}`;
  return found;
}

export interface Held {
  readonly year: number;
  readonly length: number;
  readonly lacks: number;
}

const isLeap = (year: number): boolean => year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);

/** Every year from the first to the last, also those of which there is nothing. */
export function strip(series: Pick<Series, "years">): Held[] {
  const by = new Map(series.years.map((one) => [one.year, one] as const));
  const known = [...by.keys()];
  if (known.length === 0) return [];
  const [first, last] = [Math.min(...known), Math.max(...known)];
  return Array.from({ length: last - first + 1 }, (_, i) => held(first + i, by.get(first + i)));
}

function held(year: number, of: Year | undefined): Held {
  const length = isLeap(year) ? 366 : 365;
  return { year, length, lacks: length - (of?.days["rain_mm"] ?? 0) };
}
