/** What an act is about: a batch among its neighbours, or a place with what lives in it. */
import type { KeptBatch } from "../../shelf/folding";
import { speech } from "../../parts/speech.svelte";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";
import { tree } from "../room/seats.svelte";
import { now } from "../world.svelte";

export interface Ground {
  /** The room; null of a batch that stands nowhere. */
  readonly room: string | null;
  /** The place itself, or none where the act is about a batch. */
  readonly place: string | null;
  /** What lives there, by label. */
  readonly batches: readonly KeptBatch[];
  /** Which of these the act begins with. */
  readonly first: readonly string[];
}

export function groundOf(id: string): Ground {
  const isBatch = phone.batches.has(id);
  const room = now.world.roomOf(id);
  const inside = now.world.batchesOf(isBatch ? (room === null ? [id] : [room, id]) : [id]);
  const batches = byLabel(inside);
  const first = isBatch ? [id] : batches.map((batch) => batch.id);
  return { room, place: isBatch ? null : id, batches, first };
}

/** These batches by label, those that are closed as well. */
export function byLabel(ids: readonly string[]): KeptBatch[] {
  return ids
    .flatMap((id) => phone.batches.get(id) ?? [])
    .sort((a, b) =>
      (a.label ?? a.id).localeCompare(b.label ?? b.id, speech.language, { numeric: true }),
    );
}

/** Every batch of a room as far as this phone knows where it stands, closed ones too. */
export function allOf(room: string): KeptBatch[] {
  const here = [...phone.batches.keys()].filter((id) => now.world.roomOf(id) === room);
  return byLabel(here);
}

/** Everything whose records tell of it: a batch; or a room, all places in it, and what stands there. */
export function around(id: string): string[] {
  const { room, place } = groundOf(id);
  if (place === null || room === null) return [id];
  return [...tree.all.subtree(room), ...allOf(room).map((one) => one.id)];
}

/** Names of those who are in a room, or in anything in it; `but` is who does the work. */
export function insideOf(room: string | null, but = ""): string[] {
  const places = room === null ? [] : tree.all.subtree(room);
  return places
    .flatMap((place) => phone.places.get(place)?.inside ?? [])
    .filter(({ who, visitor }) => visitor || who !== but)
    .map(({ who, visitor }) => (visitor ? who : names.of("person", who)));
}
