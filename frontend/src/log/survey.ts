/**
 * A survival count: which rows are walked, which of their positions are asked, and what is still open.
 *
 * Twin of `nursery/domain/field/counting.py`; `tests/vectors/survey.json` keeps the two alike.
 */
import type { Seen, Standing } from "./bodies";
import { later } from "./days";
import type { FilledLayout } from "./filling";
import { cropRows, nameAt, seatOf, type RowOf, type Stood } from "./planting-row";
import { lives, type Occupant } from "./positions";
import type { Draft } from "./write";

/** Looks of so many days belong to one count where the layout names none. (Common practice, no source.) */
export const COUNT_DAYS = 21;
const DAY_MS = 86_400_000;

/** What took a plant, or harmed one that lives. (trade.md D5, and felling of shelter trees.) */
export const CAUSES = [
  ...(["drought", "waterlogging", "girdled", "livestock", "sun_scald", "planted_deep"] as const),
  ...(["graft_failed", "weeding", "felling", "theft", "unknown"] as const),
] as const;

/** The layout of a block, as far as a count asks for it. */
export interface Layout extends FilledLayout {
  readonly count_every?: number;
  readonly count_months?: readonly number[];
  readonly count_days?: number;
}

// As the office takes a layout that says nothing of it.
const EVERY_ROW = 1;
const USUAL_MONTHS: readonly number[] = [1, 3, 6, 12];

/** One position as a count finds it. */
export interface Hole {
  readonly name: string;
  /** Who stands there; null where nobody was planted. */
  readonly plant: Occupant | null;
  readonly leftEmpty: boolean;
  /** It was looked at in this count. */
  readonly counted: boolean;
  /** It is to be looked at: a plant stood there when the count began, and nobody looked yet. */
  readonly open: boolean;
}

export const everyOf = ({ count_every }: Layout): number => Math.max(1, count_every ?? EVERY_ROW);
/** Looks of so many days belong to one count. */
export const daysOf = ({ count_days }: Layout): number => count_days ?? COUNT_DAYS;
export const monthsOf = ({ count_months }: Layout): readonly number[] =>
  count_months ?? USUAL_MONTHS;

/**
 * The rows of a count: every row, or every so-manieth, from the middle of the first so many on, so
 * that they lie spread over the whole block. A block with fewer rows has its middle one counted.
 *
 * Source: trade.md D5; Cochran (1977) Sampling Techniques, 8.1, a systematic sample, centred.
 */
export function sampled(layout: Layout): readonly number[] {
  const rows = cropRows(layout).map(({ number }) => number);
  const every = everyOf(layout);
  if (rows.length < every) return rows.slice((rows.length - 1) >> 1, ((rows.length - 1) >> 1) + 1);
  return rows.filter((_, i) => i % every === (every - 1) >> 1);
}

/** The instant in milliseconds at which a record was written: its id begins with it (UUIDv7). */
export function writtenAt(entry: string): number {
  return Number.parseInt(entry.slice(0, 8) + entry.slice(9, 13), 16);
}

/** The positions of a row as of now, from the painted end. `waiting` are looks not yet folded. */
export function holesOf(
  row: RowOf,
  kept: Stood | null,
  nowMs: number,
  waiting: readonly Seen[] = [],
  days = COUNT_DAYS,
): readonly Hole[] {
  const since = nowMs - days * DAY_MS;
  return Array.from({ length: row.holes }, (_, i) => {
    const name = nameAt(row, i);
    const plant = kept?.positions[name];
    if (plant === undefined) return nobodyAt(name, kept);
    const seen = waiting.findLast(({ position }) => position === name);
    return seen ? lookedAt(name, { ...plant, ...seenAs(seen) }) : holeOf(name, plant, since);
  });
}

function nobodyAt(name: string, kept: Stood | null): Hole {
  const leftEmpty = kept?.left_empty.includes(name) ?? false;
  return { name, plant: null, leftEmpty, counted: false, open: false };
}

function lookedAt(name: string, plant: Occupant): Hole {
  return { name, plant, leftEmpty: false, counted: true, open: false };
}

function holeOf(name: string, plant: Occupant, since: number): Hole {
  if (plant.look !== null && writtenAt(plant.look) > since) return lookedAt(name, plant);
  return { name, plant, leftEmpty: false, counted: false, open: lives(plant) };
}

function seenAs({ state, cause }: Seen): Pick<Occupant, "state" | "cause"> {
  return { state, cause: cause ?? null };
}

export const openOf = (holes: readonly Hole[]): readonly Hole[] => holes.filter(({ open }) => open);

/**
 * The next one in walking order after the one that was looked at last, and then those that were
 * passed over. Where that look was taken back its own position is asked again.
 */
export function nextOf(holes: readonly Hole[], last: string | null): Hole | null {
  const at = holes.findIndex(({ name }) => name === last);
  return openOf(holes.slice(Math.max(0, at)))[0] ?? openOf(holes)[0] ?? null;
}

/** How many plants of a row are to be looked at in this count, and how many were. */
export function progress(holes: readonly Hole[]): { readonly done: number; readonly all: number } {
  const done = holes.filter(({ counted }) => counted).length;
  return { done, all: done + openOf(holes).length };
}

/** How some positions of a row were seen to stand. */
export function surveyed(block: string, row: RowOf, seen: readonly Seen[]): Draft {
  const body = { block, row: String(row.number), seen };
  return { kind: "surveyed", about: [seatOf(block, row)], body };
}

export interface Tallied {
  readonly of: Readonly<Record<Standing, number>>;
  readonly planted: number;
}

/** How many of the plants of some positions stand how, as far as this phone knows. */
export function tallied(holes: readonly Hole[]): Tallied {
  const of = { alive: 0, dead: 0, missing: 0, rootstock_only: 0 };
  const plants = holes.flatMap(({ plant }) => (plant ? [plant] : []));
  for (const { state } of plants) of[state] += 1;
  return { of, planted: plants.length };
}

/** A day so many months after another; the last of the month where that has fewer days. */
export function monthsAfter(day: string, months: number): string {
  const [year = 0, month = 1, date = 1] = day.split("-").map(Number);
  const all = year * 12 + month - 1 + months;
  const last = Number(later(firstOf(all + 1), -1).slice(8));
  return `${firstOf(all).slice(0, 8)}${two(Math.min(date, last))}`;
}

/** The first day of a month that is counted from the year 0. */
function firstOf(month: number): string {
  return `${Math.floor(month / 12)}-${two((month % 12) + 1)}-01`;
}

const two = (n: number): string => String(n).padStart(2, "0");

export interface Turn {
  readonly months: number;
  readonly on: string;
}

/**
 * The count that is due on a day, or the next one: the last month of the plan that has come and in
 * whose time nobody counted, else the first that is to come. Null where none is left.
 */
export function countDue(
  planted: string,
  months: readonly number[],
  counted: string | null,
  today: string,
  days = COUNT_DAYS,
): (Turn & { readonly due: boolean }) | null {
  const turns = [...months]
    .sort((a, b) => a - b)
    .map((n) => ({ months: n, on: monthsAfter(planted, n) }));
  const come = turns.filter(({ on }) => on <= today).at(-1);
  if (come && (counted === null || counted < later(come.on, -days))) return { ...come, due: true };
  const next = turns.find(({ on }) => on > today);
  return next ? { ...next, due: false } : null;
}

/** A due check as the office shipped it, as far as a skipped count asks for it. */
interface Shipped {
  readonly id: string;
  readonly kind: string;
  readonly subject: string;
  readonly skipped_by: string | null;
  readonly params: Readonly<Record<string, unknown>>;
}

/** The check that asks for a count; null where the office has not told of it yet. */
export function checkOf<T extends Shipped>(
  checks: readonly T[],
  block: string,
  { months, on }: Turn,
): T | null {
  const isIt = ({ kind, subject, params }: Shipped): boolean =>
    kind === "survival" && subject === block && params["on"] === on && params["months"] === months;
  return checks.find(isIt) ?? null;
}

/** A count that will not be made, with its reason (rule F-30). */
export function skipped(block: string, check: string, reason: string): Draft {
  return { kind: "skipped", about: [block], body: { check, reason } };
}
