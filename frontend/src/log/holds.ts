/**
 * The hold that a suspicion starts at once on the phone that recorded it, without signal.
 *
 * It is provisional: the office's exposed set replaces it, and it is never lifted here.
 */
import { byText, type EntryId, type Instant } from "./entry";
import type { Suspicion } from "./lately";
import type { Seats } from "./seats";

export interface Stood {
  readonly id: string;
  readonly place: string | null;
}

export interface Seat {
  readonly id: string;
  readonly inside: readonly { readonly who: string }[];
}

export interface Provisional {
  readonly find: EntryId;
  readonly since: Instant;
  readonly by: string;
  readonly room: string | null;
  readonly batches: readonly string[];
  /** Who this phone knows to be inside. */
  readonly people: readonly string[];
}

/** What each suspicion holds. A batch that stands nowhere is held alone. */
export function provisional(
  suspicions: Iterable<Suspicion>,
  batches: Iterable<Stood>,
  places: Iterable<Seat>,
  seats: Seats,
): Provisional[] {
  const known = [...batches];
  const visited = [...places];
  return [...suspicions].map((suspicion) => holdOf(suspicion, known, visited, seats));
}

function holdOf(
  { find, at, by, about }: Suspicion,
  batches: readonly Stood[],
  places: readonly Seat[],
  seats: Seats,
): Provisional {
  const named = batches.filter(({ id }) => about.includes(id));
  const rooms = new Set(
    [...about.filter((id) => seats.get(id)), ...named.map(({ place }) => place)]
      .filter((place) => place !== null)
      .map((place) => seats.room(place)),
  );
  const shares = (place: string | null): boolean => place !== null && rooms.has(seats.room(place));
  const inside = places.filter(({ id }) => shares(id)).flatMap((place) => place.inside);
  return {
    find,
    since: at,
    by,
    room: [...rooms].sort(byText)[0] ?? null,
    batches: batches
      .filter((batch) => named.includes(batch) || shares(batch.place))
      .map(({ id }) => id)
      .sort(byText),
    people: [...new Set(inside.map(({ who }) => who))].sort(byText),
  };
}
