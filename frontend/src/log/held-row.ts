/**
 * What holds the positions of a row: the ground itself, and the batch of whoever stands there.
 *
 * Twin of `nursery/domain/field/held.py` and rule F-40. The world is asked once for each batch that
 * stands in the row, however many positions it has.
 */
import { cropRows, nameAt, seatOf, type LayoutOf, type Stood } from "./planting-row";
import type { Hold, World } from "./world";

/** Of a batch, or of a position in which nobody stands. */
export interface HeldRow {
  of(batch: string | null): readonly Hold[];
}

/** What the orders about a row and what is around it hold there (rule F-29). */
function ofGround(world: World, seat: string): Hold[] {
  return world.heldGround(seat).map(({ reference, since, place }) => ({
    ...{ by: "place_order", reference, since, place },
    ...{ orders: [], here: false, batches: [], people: [] },
  }));
}

export function heldRow(world: World, seat: string): HeldRow {
  const ground = ofGround(world, seat);
  const known = new Map<string, readonly Hold[]>();
  return {
    of(batch) {
      if (batch === null) return ground;
      const before = known.get(batch);
      if (before) return before;
      const plants = world.holdsAt(batch, seat);
      const told = new Set(plants.flatMap(({ reference, orders }) => [reference, ...orders]));
      const made = [...plants, ...ground.filter(({ reference }) => !told.has(reference))];
      known.set(batch, made);
      return made;
    },
  };
}

/** The positions of a block's crop that are held, by their names. */
export function heldIn(
  world: World,
  layout: LayoutOf,
  stood: (seat: string) => Pick<Stood, "positions"> | undefined,
): ReadonlyMap<string, readonly Hold[]> {
  const found = new Map<string, readonly Hold[]>();
  for (const row of cropRows(layout)) {
    const seat = seatOf(layout.id, row);
    const here = heldRow(world, seat);
    const positions = stood(seat)?.positions;
    for (let at = 0; at < row.holes; at += 1) {
      const name = nameAt(row, at);
      const holds = here.of(positions?.[name]?.batch ?? null);
      if (holds.length > 0) found.set(name, holds);
    }
  }
  return found;
}
