/** Where a batch may go, what goes with it, and what the gate says to it. */
import type { Verdict } from "../../log/gate";
import type { Seat, Seats } from "../../log/seats";
import type { KeptBatch } from "../../shelf/folding";

/** Places where plants stand. */
const STANDS: ReadonlySet<unknown> = new Set([
  ...["room", "house", "bench", "bed", "tray_position"],
  ...["block", "terrace", "row", "store"],
]);

export interface Stand {
  readonly id: string;
  /** How deep it lies in what is listed above it. */
  readonly depth: number;
}

/** Every place where plants may stand, in walking order: those of the room that it stands in first. */
export function standsOf(seats: Seats, from: string | null): Stand[] {
  const stands = ({ body }: Seat): boolean => STANDS.has(body["kind"]);
  const room = from === null ? null : seats.room(from);
  const near = ({ id }: Stand): boolean => seats.room(id) === room;
  const all = seats.walk.filter(stands).map(({ id }) => ({
    id,
    depth: seats.outward(id).filter((one) => one !== id && within(one)).length,
  }));
  return [...all.filter(near), ...all.filter((one) => !near(one))];
  function within(id: string): boolean {
    const seat = seats.get(id);
    return seat !== null && stands(seat);
  }
}

/** Living batches of the same consignment that stand where this one does. */
export function siblings(batch: KeptBatch, all: Iterable<KeptBatch>): KeptBatch[] {
  if (batch.consignment === null || batch.place === null) return [];
  return [...all].filter(
    (one) =>
      one.id !== batch.id &&
      !one.closed &&
      one.consignment === batch.consignment &&
      one.place === batch.place,
  );
}

/** What the act is by the gate: inside one room, or out of it. */
export function actOf(from: string | null, to: string, seats: Seats): "moving" | "moving_inside" {
  return from !== null && seats.room(from) === seats.room(to) ? "moving_inside" : "moving";
}

const ORDER = ["yes", "wait", "cannot_tell", "no"] as const;

/** Of the answers for several trays the worst. */
export function worst(verdicts: readonly Verdict[]): Verdict | null {
  return verdicts.reduce<Verdict | null>(
    (one, other) =>
      one === null || ORDER.indexOf(other.answer) > ORDER.indexOf(one.answer) ? other : one,
    null,
  );
}
