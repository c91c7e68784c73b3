/**
 * Products for treatments as the nursery's rows have them, and what a row says of one treatment.
 *
 * Twin of `row_of` and of rule P-8 in `nursery/domain/treatments.py`.
 */
import { apart, later } from "./days";
import type { Entry } from "./entry";
import { isInUse } from "./in-use";
import { standing } from "./timeline";

export type Unit = "mL" | "g";

export interface ProductBody {
  readonly name: string;
  /** One active substance, or several with semicolons between them. */
  readonly active?: string | null;
  readonly registration?: string | null;
  readonly reentry_hours?: number | null;
  readonly interval_days?: number | null;
  readonly litres_per_m2?: number | null;
  /** Of the product in a litre of mix, in its unit. */
  readonly per_litre?: number | null;
  readonly unit?: Unit;
  readonly licensed?: boolean;
  readonly cautions?: string | null;
  readonly since?: string | null;
  readonly until?: string | null;
}

export interface ProductRow {
  readonly id: string;
  readonly rev: number;
  readonly body: ProductBody;
}

/** Millilitres of mix on a square metre, to a thousandth. */
export function mixOf({ litres_per_m2: litres }: ProductBody): number | null {
  return typeof litres === "number" ? Math.round(litres * 1e6) / 1000 : null;
}

/** The row that a record or a form means: by its id, or by its name as people write it. */
export function rowOf(said: string, rows: readonly ProductRow[]): ProductRow | null {
  const named = (one: ProductRow): boolean => plain(one.body.name) === plain(said);
  return rows.find(({ id }) => id === said) ?? byId(rows).find(named) ?? null;
}

export function sameName(one: string, other: string): boolean {
  return plain(one) === plain(other);
}

function plain(name: string): string {
  return name.trim().split(/\s+/).join(" ").toLowerCase();
}

function byId(rows: readonly ProductRow[]): ProductRow[] {
  return [...rows].sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** Rows that are offered on a day. */
export function inUse(rows: readonly ProductRow[], today: string): ProductRow[] {
  return rows.filter(({ body }) => isInUse(body, today));
}

/** Fewer hours than the row wants; null where it wants none, or where nobody wrote any. */
export function tooShort(row: ProductRow | null, hours: number | null): number | null {
  const wants = row?.body.reentry_hours ?? null;
  return wants !== null && hours !== null && hours < wants ? wants : null;
}

/** The same product was applied so few days ago; from a day on it fits. */
export interface Again {
  readonly days: number;
  readonly needed: number;
  readonly on: string;
}

interface Treated {
  readonly product: string;
  readonly started_at: string;
  readonly ended_at: string;
}

/** Whether a treatment that starts at an instant comes too soon after the last with its product. */
export function again(
  row: ProductRow | null,
  startedAt: string,
  entries: Iterable<Entry>,
  rows: readonly ProductRow[],
  dayOf: (instant: string) => string,
): Again | null {
  const needed = row?.body.interval_days ?? 0;
  if (row === null || needed === 0) return null;
  const before = standing(entries).entries.flatMap(({ kind, body }) => {
    const { product, started_at: began, ended_at: ended } = body as unknown as Treated;
    const same = kind === "treated" && began < startedAt && rowOf(product, rows)?.id === row.id;
    return same ? [dayOf(ended)] : [];
  });
  const last = before.sort().at(-1);
  if (last === undefined) return null;
  const on = later(last, needed);
  const day = dayOf(startedAt);
  return day < on ? { days: Math.max(apart(last, day), 0), needed, on } : null;
}
