/**
 * What a place is, as far as a phone works it out by itself.
 *
 * Twin of `nursery/domain/place.py` and `place_steps.py`: `phone()` there gives the same object.
 */
import type { Bodies, Visitor } from "./bodies";
import type { Entry, Instant } from "./entry";
import { noSeats, seatsJson, type Seats } from "./positions";

export interface Inside {
  readonly who: string;
  readonly visitor: boolean;
  readonly since: Instant;
}

/** Built up by the fold; nobody else writes to it. */
export interface Place {
  readonly id: string;
  /** Who is inside; a person and a visitor of one name are two. */
  readonly inside: Map<string, Inside>;
  /** Nobody may go in before this instant, as the label of the product says. */
  reentryUntil: Instant | null;
  readonly holds: Map<string, Instant>;
  /** Who stands in its positions, where it is a row of a block. */
  readonly seats: Seats;
}

export function emptyPlace(id: string): Place {
  return { id, inside: new Map(), reentryUntil: null, holds: new Map(), seats: noSeats() };
}

/** Who goes in again, without having written that they left, was out by then at the latest. */
export function entered(place: Place, entry: Entry & { kind: "entered" }): void {
  const { key, who, visitor } = named(entry.author, entry.body);
  place.inside.delete(key);
  place.inside.set(key, { who, visitor, since: entry.occurredAt });
}

export function left(place: Place, entry: Entry & { kind: "left" }): void {
  place.inside.delete(named(entry.author, entry.body).key);
}

function named(
  author: string,
  body: { readonly person?: string | null; readonly visitor?: Visitor | null },
): { key: string; who: string; visitor: boolean } {
  const { person, visitor } = body;
  if (!visitor) {
    const who = person ?? author;
    return { key: `p:${who}`, who, visitor: false };
  }
  const firm = visitor.firm ?? null;
  const who = firm === null ? visitor.name : `${visitor.name}, ${firm}`;
  return { key: `v:${who}`, who, visitor: true };
}

export function treated(place: Place, body: Bodies["treated"]): void {
  const until = (body.reentry_until ?? null) as Instant | null;
  if (until !== null && (place.reentryUntil === null || until > place.reentryUntil)) {
    place.reentryUntil = until;
  }
}

/** An order to hold, or its lift; a lift that names none takes away all. */
export function ordered(holds: Map<string, Instant>, at: Instant, body: Bodies["ordered"]): void {
  if (body.act === "hold") holds.set(body.reference, at);
  if (body.act !== "lift") return;
  if (body.lifts === null || body.lifts === undefined) holds.clear();
  else holds.delete(body.lifts);
}

export type PlaceJson = ReturnType<typeof placeJson>;

export function placeJson(place: Place) {
  return {
    id: place.id,
    inside: [...place.inside.values()].map((visit) => ({ ...visit, until: null })),
    reentry_until: place.reentryUntil,
    holds: Object.fromEntries(place.holds),
    ...seatsJson(place.seats),
  };
}
