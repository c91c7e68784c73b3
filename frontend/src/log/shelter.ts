/** Shelter rows: when they are thinned, whether they may be, and an old crop replaced by stages. */
import type { Entry } from "./entry";
import { isCrop, nameAt, seatOf, type RowOf } from "./planting-row";
import { standing } from "./timeline";
import { felledOf, partOf, type Felled, type TreeRow } from "./trees";
import type { Draft } from "./write";

/** More at once lets the sun in too fast, where the layout names no share. (Common practice, no source.) */
export const MOST_PERCENT = 50;
export const CONSENT = "thinning";
const WHOLE = 100;

export interface Sheltered {
  readonly rows: readonly (RowOf & { readonly goes?: number | null })[];
  readonly thinnings?: readonly { readonly year: number; readonly percent: number }[];
}

export interface Step {
  readonly year: number;
  /** How many in a hundred of the trees that stand then are still to be taken out. */
  readonly percent: number;
  /** From this day on; null before anything was planted. */
  readonly from: string | null;
  /** The next year of the plan has begun. */
  readonly past: boolean;
  /** Trees that were taken out in its time. */
  readonly felled: number;
  /** Trees that are still to be taken out, and those that stand on. */
  readonly out: number;
  readonly left: number;
}

/** A row as the plan is walked: what stands by then, and what was felled ahead of its year. */
interface Walked extends TreeRow {
  readonly goes: number | null;
  stands: number;
  /** The part that is left after what was felled beyond the shares of the years before. */
  ahead: number;
}

/**
 * The plan by year, counted from planting: shares of the trees that stand, and rows that go
 * altogether. Of a year that has both, the share is taken of the rows that stay (rule F-17).
 *
 * A share is of what stands and not of what was planted: light is planned by it, and a tree that died
 * gives no shade. What was felled since a year began counts for that year, beyond its share for the
 * next one, and what was felled before the first year for the first; so no tree is felled twice. A
 * share that was not taken in its time is not made up for in the next: that would let in more sun at
 * once than anybody planned. A row that goes stays in the plan until it is gone.
 */
export function thinningPlan(
  layout: Sheltered,
  trees: readonly TreeRow[],
  planted: string | null,
  today: string,
): readonly Step[] {
  const rows = walkedOf(layout, trees);
  const years = yearsOf(layout);
  const begins = years.map((year) => yearsOn(planted, year));
  const turnOf = (day: string): number =>
    Math.max(
      0,
      begins.findLastIndex((from) => from !== null && from <= day),
    );
  return years.map((year, turn) => {
    const past = turn < turnOf(today);
    const parts = rows.map((row) => {
      const taken = row.felled.filter(({ on }) => turnOf(on) === turn);
      return { felled: felledOf({ felled: taken }), ...taking(row, taken, year, layout, past) };
    });
    const sum = (of: "felled" | "out" | "left"): number =>
      parts.reduce((all, one) => all + one[of], 0);
    const [felled, out, left] = [sum("felled"), sum("out"), sum("left")];
    const percent = out === 0 ? 0 : Math.round((out / (out + left)) * WHOLE);
    return { year, percent, from: begins[turn] ?? null, past, felled, out, left };
  });
}

function walkedOf({ rows }: Sheltered, trees: readonly TreeRow[]): Walked[] {
  return trees.map((one) => {
    const goes = rows.find(({ number }) => number === one.number)?.goes ?? null;
    return { ...one, goes, stands: one.standing, ahead: 1 };
  });
}

function yearsOf({ rows, thinnings = [] }: Sheltered): readonly number[] {
  const shelter = rows.filter((row) => !isCrop(row));
  if (shelter.length === 0) return [];
  const years = [
    ...thinnings.map(({ year }) => year),
    ...shelter.flatMap(({ goes }) => goes ?? []),
  ];
  return [...new Set(years)].sort((a, b) => a - b);
}

/** What a year takes of a row beside what was felled in its time; the row goes on as it is then. */
function taking(
  row: Walked,
  taken: readonly Felled[],
  year: number,
  { thinnings = [] }: Sheltered,
  past: boolean,
): { readonly out: number; readonly left: number } {
  const share = thinnings.find((one) => one.year === year)?.percent ?? 0;
  const goes = row.goes !== null && row.goes <= year;
  const wanted = goes ? 0 : (WHOLE - share) / WHOLE;
  const kept = taken.reduce((part, { percent }) => (part * (WHOLE - percent)) / WHOLE, row.ahead);
  const beyond = kept < wanted;
  row.ahead = beyond ? kept / wanted : 1;
  if (past || beyond || kept <= 0) return { out: 0, left: row.stands };
  const before = row.stands;
  row.stands = partOf(before, WHOLE * (1 - wanted / kept));
  return { out: before - row.stands, left: row.stands };
}

/** Of a leap day the anniversary is the day before, where there is none. */
function yearsOn(day: string | null, years: number): string | null {
  if (day === null) return null;
  const year = Number(day.slice(0, 4)) + years;
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const rest = day.slice(4) === "-02-29" && !leap ? "-02-28" : day.slice(4);
  return `${year}${rest}`;
}

/** Held batches and ground for which no consent of the authority to felling stands (rule F-16). */
export function unconsented(held: readonly string[], entries: Iterable<Entry>): readonly string[] {
  const given = new Set(
    standing(entries)
      .entries.filter(consents)
      .flatMap(({ about }) => about),
  );
  return [...new Set(held)].filter((subject) => !given.has(subject));
}

function consents(entry: Entry): boolean {
  const accepted = entry.kind === "other" && entry.named === "accepted" && !entry.unread;
  return accepted && entry.body["what"] === CONSENT;
}

export function tooMuch(percent: number, most = MOST_PERCENT): boolean {
  return percent > most;
}

export function isShare(percent: unknown): percent is number {
  return typeof percent === "number" && percent > 0 && percent <= WHOLE;
}

export function thinned(block: string, rows: readonly string[], percent: number): Draft {
  return { kind: "thinned", about: [block], body: { block, rows, percent } };
}

export function consent(
  held: readonly string[],
  reference: string,
  photo: string | undefined,
): Draft {
  const body = { what: CONSENT, reference, ...(photo === undefined ? {} : { photo }) };
  return { kind: "accepted", about: held, body };
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
