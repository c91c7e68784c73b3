/** From the lines of the copy to states: subjects whose lines changed are folded anew. */
import { batchJson, type BatchJson } from "../log/batch";
import { read, type Entry } from "../log/entry";
import { batch, place } from "../log/fold";
import { placeJson, type PlaceJson } from "../log/place";
import type { Copy, CopyLine, Folded } from "./copy";

/** A batch as the phone keeps it: the fold's object, and what only its beginning tells. */
export interface KeptBatch extends BatchJson {
  readonly crop: string | null;
  readonly consignment: string | null;
  readonly container: string | null;
  readonly cells: number | null;
}
export type KeptPlace = PlaceJson;

const AT_ONCE = 100;

/** Fold what is stale, and say which subjects have a new state. */
export async function refold(copy: Copy): Promise<string[]> {
  const stale = await copy.stale();
  for (let start = 0; start < stale.length; start += AT_ONCE) {
    const some = stale.slice(start, start + AT_ONCE);
    const states = await Promise.all(some.map(async (id) => foldedOf(id, await copy.about(id))));
    await copy.fold(states.flat(), some);
  }
  return stale;
}

/** What the lines make of a subject: a batch where one began, else a place. */
export function foldedOf(id: string, lines: readonly CopyLine[]): Folded[] {
  const entries = entriesOf(lines);
  const state = batch(id, entries);
  if (state.began) {
    return [{ id, what: "batch", state: { ...batchJson(state), ...begunAs(id, entries) } }];
  }
  return [{ id, what: "place", state: placeJson(place(id, entries)) }];
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
