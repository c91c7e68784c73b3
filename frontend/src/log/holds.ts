/**
 * The hold that a suspicion starts at once on the phone that recorded it, without signal.
 *
 * It is provisional: the office's exposed set replaces it, and it is never lifted here.
 */
import type { Batch } from "./batch";
import { byText, type Entry, type EntryId } from "./entry";
import type { Place } from "./place";

/** A row of the tree of places. `room` marks what shares air: a room or a house. */
export interface Site {
  readonly id: string;
  readonly parent: string | null;
  readonly room: boolean;
}

export interface Provisional {
  readonly find: EntryId;
  readonly room: string | null;
  readonly batches: readonly string[];
  /** Who this phone knows to have been inside when it was recorded. */
  readonly people: readonly string[];
}

/** What each suspicion holds. A batch that stands nowhere is held alone. */
export function provisional(
  suspicions: Iterable<Entry>,
  batches: Iterable<Batch>,
  places: Iterable<Place>,
  sites: ReadonlyMap<string, Site>,
): Provisional[] {
  const known = [...batches];
  const visited = [...places];
  const holds: Provisional[] = [];
  for (const entry of suspicions) {
    if (entry.kind !== "found" || !entry.body.suspicion) continue;
    holds.push(holdOf(entry, known, visited, sites));
  }
  return holds;
}

function holdOf(
  entry: Entry,
  batches: readonly Batch[],
  places: readonly Place[],
  sites: ReadonlyMap<string, Site>,
): Provisional {
  const named = batches.filter((batch) => entry.about.includes(batch.id));
  const rooms = new Set(
    [...entry.about, ...named.map((batch) => batch.stay?.place ?? "")]
      .map((place) => roomOf(place, sites))
      .filter((room) => room !== null),
  );
  const shares = (place: string | undefined): boolean =>
    place !== undefined && rooms.has(roomOf(place, sites) ?? "");
  return {
    find: entry.id,
    room: [...rooms].sort(byText)[0] ?? null,
    batches: batches
      .filter((batch) => named.includes(batch) || shares(batch.stay?.place))
      .map(({ id }) => id)
      .sort(byText),
    people: [
      ...new Set(
        places
          .filter((place) => shares(place.id))
          .flatMap((place) => [...place.inside.values()].map(({ who }) => who)),
      ),
    ].sort(byText),
  };
}

/** The nearest room or house that a place lies in, or the outermost place; null where unknown. */
export function roomOf(place: string, sites: ReadonlyMap<string, Site>): string | null {
  const seen = new Set<string>();
  let outermost: string | null = null;
  let site = sites.get(place);
  while (site && !seen.has(site.id)) {
    if (site.room) return site.id;
    seen.add(site.id);
    outermost = site.id;
    site = site.parent === null ? undefined : sites.get(site.parent);
  }
  return outermost;
}
