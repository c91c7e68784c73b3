/** From the lines of the copy to states: subjects whose lines changed are folded anew. */
import { batchJson, type BatchJson } from "../log/batch";
import { read, type Entry } from "../log/entry";
import { batch, place } from "../log/fold";
import { placeJson, type PlaceJson } from "../log/place";
import type { Copy, CopyLine, Folded } from "./copy";
import type { Outbox } from "./outbox";

/** A batch as the phone keeps it: the fold's object, and what only its beginning tells. */
export interface KeptBatch extends BatchJson {
  readonly crop: string | null;
  readonly consignment: string | null;
  readonly container: string | null;
  readonly cells: number | null;
}
export type KeptPlace = PlaceJson;

const AT_ONCE = 20;

/**
 * Fold these subjects, and all that are stale where none are named; say which they were.
 *
 * Some at a time: what a person saves meanwhile waits for one transaction, not for all.
 */
export async function refold(copy: Copy, subjects?: readonly string[]): Promise<string[]> {
  const some = [...(subjects ?? (await copy.stale()))];
  for (let start = 0; start < some.length; start += AT_ONCE) {
    await copy.fold(some.slice(start, start + AT_ONCE), foldedOf);
  }
  return some;
}

/**
 * Bring into the copy what this phone wrote and the copy lacks: just saved, saved right before the
 * page was killed, or before the copy was made anew. Says which subjects were folded.
 */
export async function takeInOwn(copy: Copy, outbox: Outbox): Promise<string[]> {
  const rows = await outbox.rows(await copy.ownUpTo());
  const subjects = await copy.takeIn(rows.filter(({ trouble }) => trouble !== "elsewhere"));
  return refold(copy, subjects);
}

/** What the lines make of a subject: a batch where one began, else a place; null of no lines. */
export function foldedOf(id: string, lines: readonly CopyLine[]): Folded | null {
  if (lines.length === 0) return null;
  const entries = entriesOf(lines);
  const state = batch(id, entries);
  if (state.began) {
    return { id, what: "batch", state: { ...batchJson(state), ...begunAs(id, entries) } };
  }
  return { id, what: "place", state: placeJson(place(id, entries)) };
}

/** The entries that count: what is set aside waits until the office releases it. */
export function entriesOf(lines: readonly CopyLine[]): Entry[] {
  return lines
    .filter(({ setAside }) => !setAside)
    .map(({ text }) => read(JSON.parse(text)))
    .filter((entry) => entry !== null);
}

interface Begun {
  crop?: string | null;
  container?: string | null;
  cells?: number | null;
}

function begunAs(id: string, entries: readonly Entry[]): Omit<KeptBatch, keyof BatchJson> {
  let begun: Begun = {};
  let consignment: string | null = null;
  for (const entry of entries) {
    const body = entry.body as Record<string, unknown>;
    for (const one of [body["batch"], ...list(body["batches"]), ...list(body["children"])]) {
      if ((one as { id?: string } | undefined)?.id !== id) continue;
      begun = one as Begun;
      consignment = (body["consignment"] as string | undefined) ?? consignment;
    }
  }
  const { crop = null, container = null, cells = null } = begun;
  return { crop, container, cells, consignment };
}

function list(value: unknown): unknown[] {
  return Array.isArray(value) ? (value as unknown[]) : [];
}
