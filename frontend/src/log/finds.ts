/**
 * Suspicions of a batch, and what answers them: a negative result, the authority, the grower.
 *
 * Twin of the finds in `nursery/domain/batch_steps.py`.
 */
import type { Batch } from "./batch";
import type { Bodies } from "./bodies";
import { lineOf, type Entry, type EntryId } from "./entry";
import { findOf } from "./mistaps";
import { ordered } from "./place";

type Lines = ReadonlyMap<EntryId, EntryId>;

export function found(batch: Batch, entry: Entry & { kind: "found" }): void {
  if (entry.body.suspicion) batch.finds.add(lineOf(entry));
}

export function sampled(batch: Batch, body: Bodies["sampled"], lines: Lines): void {
  const find = factOf(body.found, lines);
  if (find !== null) batch.samples.set(body.sample, find);
}

export function resulted(batch: Batch, body: Bodies["resulted"]): void {
  const find = batch.samples.get(body.sample);
  if (find !== undefined && body.verdict === "negative") batch.finds.delete(find);
}

/** The grower's word that it was a mis-tap. */
export function mistaken(batch: Batch, entry: Entry & { kind: "settled" }, lines: Lines): void {
  const find = factOf(findOf(entry), lines);
  if (find !== null) batch.finds.delete(find);
}

export function orderedOf(batch: Batch, entry: Entry & { kind: "ordered" }, lines: Lines): void {
  ordered(batch.holds, entry.occurredAt, entry.body);
  if (entry.body.act === "lift") lifted(batch, entry.body.lifts, lines);
  else {
    const known = batch.ruled.get(entry.body.reference) ?? [];
    batch.ruled.set(entry.body.reference, [...known, ...batch.finds]);
  }
}

/**
 * A lift answers the find that it names, or all; one that names an order given about finds answers
 * those, as long as no other hold stands.
 */
function lifted(batch: Batch, lifts: string | null | undefined, lines: Lines): void {
  if (lifts === null || lifts === undefined) {
    batch.finds.clear();
    return;
  }
  const ruled = batch.holds.size > 0 ? [] : (batch.ruled.get(lifts) ?? []);
  for (const find of [named(lifts, lines), ...ruled]) batch.finds.delete(find);
}

/** The fact that an entry names, by whichever id of its line it names it. */
function factOf(name: string | null | undefined, lines: Lines): EntryId | null {
  return name === null || name === undefined ? null : named(name, lines);
}

function named(name: string, lines: Lines): EntryId {
  return lines.get(name as EntryId) ?? (name as EntryId);
}
