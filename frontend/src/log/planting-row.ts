/**
 * Planting row by row: which hole of a block comes next, what stands in each, what is still asked.
 *
 * Positions are named by their numbers from the painted end, as in `nursery/domain/field/plan.py`.
 * What nobody told of a hole is asked again, and never taken for planted.
 */
import { seat, type Occupant } from "./positions";
import type { Draft } from "./write";

export interface RowOf {
  readonly number: number;
  readonly first: number;
  readonly holes: number;
  readonly stands?: "crop" | "shelter";
  readonly species?: string | null;
}

interface Meant {
  readonly batch: string;
  readonly first: number;
  readonly last: number;
}

/** The layout of a block, as far as planting asks for it. */
export interface LayoutOf {
  readonly id: string;
  readonly crop?: string | null;
  readonly rows: readonly RowOf[];
  readonly meant?: readonly Meant[];
}

/** Who stands in the holes of a row, as the fold of its seat keeps it. */
export interface Stood {
  readonly positions: Readonly<Record<string, Occupant>>;
  readonly left_empty: readonly string[];
}

/** A tap that the fold of its row does not tell yet; without a batch the hole is left empty. */
export interface Tap {
  readonly name: string;
  readonly batch: string | null;
}

export type HoleIs = "planted" | "empty" | "open";

export interface Hole {
  readonly name: string;
  readonly is: HoleIs;
  readonly batch: string | null;
  /** The record that says so; null while it is being saved. */
  readonly entry: string | null;
}

export interface Tally {
  readonly planted: number;
  readonly empty: number;
  readonly open: number;
}

const SHELTER = "S";
const NOBODY: Stood = { positions: {}, left_empty: [] };

export function layoutOf(row: { id: string; body: Readonly<Record<string, unknown>> }): LayoutOf {
  return { ...(row.body as unknown as LayoutOf), id: row.id };
}

export function isCrop({ stands = "crop" }: RowOf): boolean {
  return stands === "crop";
}

/** The rows that are planted from trays, from the painted end. */
export function cropRows({ rows }: LayoutOf): readonly RowOf[] {
  return rows.filter(isCrop).sort((a, b) => a.number - b.number);
}

export function seatOf(block: string, row: RowOf): string {
  return seat(block, String(row.number));
}

export function nameAt(row: RowOf, at: number): string {
  return `${isCrop(row) ? "" : SHELTER}${row.first + at}`;
}

/** The batch that a position of the crop is meant for, where one is. */
export function meantFor({ meant = [] }: LayoutOf, name: string): string | null {
  const n = Number(name);
  return meant.find(({ first, last }) => first <= n && n <= last)?.batch ?? null;
}

/** How many positions of the block are meant for each batch. */
export function meantOf({ meant = [] }: LayoutOf): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  for (const { batch, first, last } of meant) {
    found.set(batch, (found.get(batch) ?? 0) + last - first + 1);
  }
  return found;
}

/** What is known of one hole; a tap of just now stands before what was told earlier. */
export function holeOf(name: string, stood: Stood | undefined, taps: readonly Tap[] = []): Hole {
  const tap = taps.findLast((one) => one.name === name);
  const { positions, left_empty } = stood ?? NOBODY;
  const stands = positions[name];
  if (tap && tap.batch !== null) return { name, is: "planted", batch: tap.batch, entry: null };
  if (stands) return { name, is: "planted", batch: stands.batch, entry: stands.entry };
  const empty = tap !== undefined || left_empty.includes(name);
  return { name, is: empty ? "empty" : "open", batch: null, entry: null };
}

export function holesOf(row: RowOf, stood?: Stood, taps: readonly Tap[] = []): readonly Hole[] {
  return Array.from({ length: row.holes }, (_, i) => holeOf(nameAt(row, i), stood, taps));
}

/**
 * The hole that comes next: the first of which nobody told, from the one at which the person began;
 * after the last one those that were passed over are asked.
 */
export function nextHole(holes: readonly Hole[], from: string | null): Hole | null {
  const begun = Math.max(
    0,
    holes.findIndex(({ name }) => name === from),
  );
  const open = ({ is }: Hole): boolean => is === "open";
  return holes.slice(begun).find(open) ?? holes.find(open) ?? null;
}

export function tally(row: RowOf, stood?: Stood): Tally {
  const { positions, left_empty } = stood ?? NOBODY;
  const names = Array.from({ length: row.holes }, (_, i) => nameAt(row, i));
  const planted = names.filter((name) => positions[name] !== undefined).length;
  const empty = left_empty.filter((name) => positions[name] === undefined).length;
  return { planted, empty, open: row.holes - planted - empty };
}

export function sum(some: Iterable<Tally>): Tally {
  const all = { planted: 0, empty: 0, open: 0 };
  for (const { planted, empty, open } of some) {
    all.planted += planted;
    all.empty += empty;
    all.open += open;
  }
  return all;
}

/** A row that somebody began and nobody told whole: its open holes are asked before the crew goes. */
export function isBegun({ planted, empty, open }: Tally): boolean {
  return planted + empty > 0 && open > 0;
}

/**
 * Whose plants come into the hole: what was chosen, else what the row had last or is meant for;
 * else the one batch of which plants are `out`.
 */
export function batchFor(
  chosen: string | null,
  holes: readonly Hole[],
  next: Hole | null,
  layout: LayoutOf,
  out: readonly string[] = [],
): string | null {
  if (chosen !== null) return chosen;
  const before = next ? holes.slice(0, holes.indexOf(next)) : holes;
  const last = before.findLast(({ batch }) => batch);
  const [only = null] = out.length === 1 ? out : [];
  return last?.batch ?? (next && meantFor(layout, next.name)) ?? only;
}

interface Counted {
  readonly out: number;
  readonly alive: number | null;
  readonly ledger: Readonly<Record<"alive" | "planted", number>>;
}

/** A batch as it is after so many more of its plants were planted, until it is folded anew. */
export function withPlanted<T extends Counted>(batch: T, plants: number): T {
  const { out, alive, ledger } = batch;
  return {
    ...batch,
    out: Math.max(0, out - plants),
    alive: alive === null ? null : alive - plants,
    ledger: { ...ledger, alive: ledger.alive - plants, planted: ledger.planted + plants },
  };
}

/**
 * One tap is one record: a plant of the batch stands in this hole, or it is left empty. The row comes
 * first: what takes a record back reads all about that, and a row is short.
 */
export function recordOf(block: string, row: RowOf, { name, batch }: Tap): Draft {
  const body = { block, row: String(row.number), positions: [name] };
  const subject = seatOf(block, row);
  return batch === null
    ? { kind: "left_empty", about: [subject], body }
    : { kind: "planted", about: [subject, batch], body };
}
