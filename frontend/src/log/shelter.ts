/** Shelter rows: when they are thinned, whether they may be, and an old crop replaced by stages. */
import { isCrop, nameAt, seatOf, type RowOf } from "./planting-row";
import type { Draft } from "./write";

/** More than half at once lets the sun in too fast. (trade.md D4.) */
export const MOST_PERCENT = 50;
export const CONSENT = "thinning";
const WHOLE = 100;

export interface Sheltered {
  readonly rows: readonly (RowOf & { readonly goes?: number | null })[];
  readonly thinnings?: readonly { readonly year: number; readonly percent: number }[];
}

export interface Step {
  readonly year: number;
  readonly percent: number;
  /** From this day on; null before anything was planted. */
  readonly from: string | null;
  /** Trees that are taken out, and those that stand on. */
  readonly out: number;
  readonly left: number;
}

/**
 * The plan by year, counted from planting: shares of the trees that stand then, and rows that go
 * altogether. Of a year that has both, the share is taken of the rows that stay.
 */
export function thinningPlan(layout: Sheltered, planted: string | null): readonly Step[] {
  const trees = new Map(layout.rows.filter((row) => !isCrop(row)).map((row) => [row, row.holes]));
  const years = [
    ...(layout.thinnings ?? []).map(({ year }) => year),
    ...[...trees.keys()].flatMap(({ goes }) => goes ?? []),
  ];
  const steps: Step[] = [];
  for (const year of [...new Set(years)].sort((a, b) => a - b)) {
    const before = sum(trees);
    for (const row of trees.keys()) if (row.goes === year) trees.delete(row);
    const share = (layout.thinnings ?? []).find((one) => one.year === year)?.percent ?? 0;
    for (const [row, n] of trees) trees.set(row, Math.round(n * (1 - share / WHOLE)));
    const left = sum(trees);
    const percent = before === 0 ? 0 : Math.round(((before - left) / before) * WHOLE);
    steps.push({ year, percent, from: yearsOn(planted, year), out: before - left, left });
  }
  return steps;
}

function sum(trees: ReadonlyMap<unknown, number>): number {
  return [...trees.values()].reduce((all, n) => all + n, 0);
}

/** Of a leap day the anniversary is the day before, where there is none. */
function yearsOn(day: string | null, years: number): string | null {
  if (day === null) return null;
  const year = Number(day.slice(0, 4)) + years;
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const rest = day.slice(4) === "-02-29" && !leap ? "-02-28" : day.slice(4);
  return `${year}${rest}`;
}

/** A record, as far as a consent shows in it. */
interface Written {
  readonly kind: string;
  readonly about: readonly string[];
  readonly body: object;
}

/** Held batches for which no consent of the authority to felling is written (rule F-16). */
export function unconsented(
  held: readonly string[],
  entries: readonly Written[],
): readonly string[] {
  const given = new Set(entries.filter(consents).flatMap(({ about }) => about));
  return [...new Set(held)].filter((batch) => !given.has(batch));
}

function consents({ kind, body }: Written): boolean {
  return kind === "accepted" && "what" in body && body.what === CONSENT;
}

export function tooMuch(percent: number): boolean {
  return percent > MOST_PERCENT;
}

export function isShare(percent: unknown): percent is number {
  return typeof percent === "number" && percent > 0 && percent <= WHOLE;
}

export function thinned(block: string, rows: readonly string[], percent: number): Draft {
  return { kind: "thinned", about: [block], body: { block, rows, percent } };
}

export function consent(batches: readonly string[], reference: string): Draft {
  return { kind: "accepted", about: batches, body: { what: CONSENT, reference } };
}

/** The rows in which named positions lie, with those positions; names that lie in none. */
export function rowsOf(
  names: readonly string[],
  rows: readonly RowOf[],
): { readonly found: ReadonlyMap<RowOf, readonly string[]>; readonly lost: readonly string[] } {
  const found = new Map<RowOf, string[]>();
  const lost: string[] = [];
  for (const name of new Set(names)) {
    const row = rows.find((one) => within(one, name));
    if (row) found.set(row, [...(found.get(row) ?? []), name]);
    else lost.push(name);
  }
  return { found, lost };
}

function within(row: RowOf, name: string): boolean {
  const n = Number(name.replace(/^S/, ""));
  return n >= row.first && n < row.first + row.holes && nameAt(row, n - row.first) === name;
}

/** Plants that live and were harmed, or trees that died: one record for each row. */
export function seen(
  block: string,
  some: ReadonlyMap<RowOf, readonly string[]>,
  state: "alive" | "dead",
  cause: string,
): Draft[] {
  return [...some].map(([row, names]) => ({
    kind: "surveyed",
    about: [seatOf(block, row)],
    body: {
      ...{ block, row: String(row.number) },
      seen: names.map((position) => ({ position, state, cause })),
    },
  }));
}

export interface Stage {
  readonly year: number;
  readonly plants: number;
  /** Places in walking order, from 1; null where nothing is replaced that year. */
  readonly first: number | null;
  readonly last: number | null;
}

/**
 * An old crop replaced over years: shares of it in percent, year by year. Rounded on the running
 * sum, so that shares of a hundred together replace every plant once.
 */
export function stages(plants: number, shares: readonly number[]): readonly Stage[] {
  let share = 0;
  let done = 0;
  return shares.map((percent, i) => {
    share += percent;
    const end = Math.round((plants * Math.min(share, WHOLE)) / WHOLE);
    const n = end - done;
    const stage = {
      ...{ year: i + 1, plants: n },
      ...{ first: n > 0 ? done + 1 : null, last: n > 0 ? end : null },
    };
    done = end;
    return stage;
  });
}
