/**
 * What an order about a block, a row or what is around it holds: the batches that stand there.
 *
 * Twin of `nursery/domain/grounds.py` and rule F-29. What frees plants of such an order is
 * the office's word, so this phone is never the bolder one.
 */
import type { Occupant } from "./positions";
import type { Seats } from "./seats";

export interface Ground {
  readonly id: string;
  readonly holds: Readonly<Record<string, string>>;
  readonly positions: Readonly<Record<string, Pick<Occupant, "batch" | "state">>>;
}

/** An order about `place`, in which plants of a batch stand. */
export interface OnGround {
  readonly reference: string;
  readonly since: string;
  readonly place: string;
}

/** By batch what holds it. A plant that is missing is not there any more. */
export function grounds(
  places: Iterable<Ground>,
  seats: Seats,
): ReadonlyMap<string, readonly OnGround[]> {
  const every = [...places];
  const held = new Map(
    every.filter(({ holds }) => Object.keys(holds).length > 0).map((one) => [one.id, one.holds]),
  );
  const found = new Map<string, Map<string, OnGround>>();
  for (const { id, positions } of held.size === 0 ? [] : every) {
    const orders = ordersOn(id, held, seats);
    if (orders.length === 0) continue;
    for (const { batch, state } of Object.values(positions)) {
      if (state === "missing") continue;
      const mine = found.get(batch) ?? new Map<string, OnGround>();
      for (const one of orders) mine.set(`${one.place} ${one.reference}`, one);
      found.set(batch, mine);
    }
  }
  return new Map([...found].map(([batch, orders]) => [batch, [...orders.values()]]));
}

/** The orders to hold that stand about a place and what is around it, from the inside out. */
export function ordersOn(
  id: string,
  held: ReadonlyMap<string, Readonly<Record<string, string>>>,
  seats: Seats,
): OnGround[] {
  return seats.outward(id).flatMap((place) =>
    Object.entries(held.get(place) ?? {}).map(([reference, since]) => ({
      reference,
      since,
      place,
    })),
  );
}
