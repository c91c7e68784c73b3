/**
 * Who stands in the positions of a row: the plant that was put into each of them last.
 *
 * Twin of `nursery/domain/occupants.py`. What is odd is doubted at the office.
 */
import type { Seen, Standing } from "./bodies";
import { byText, type Entry, type EntryId, type Instant } from "./entry";

export interface Occupant {
  readonly batch: string;
  readonly at: Instant;
  readonly entry: EntryId;
  readonly state: Standing;
  readonly cause: string | null;
  /** Nobody stood there before it. */
  readonly first: boolean;
  /** The record by which it was looked at last. */
  readonly look: EntryId | null;
}

/** Built up by the fold; nobody else writes to it. */
export interface Seats {
  readonly positions: Map<string, Occupant>;
  readonly leftEmpty: Set<string>;
}

export function noSeats(): Seats {
  return { positions: new Map(), leftEmpty: new Set() };
}

/** The subject that keeps who stands in a row; a block without rows keeps it itself. */
export function seat(block: string, row?: string | null): string {
  return row === null || row === undefined ? block : `${block}.${row}`;
}

/** A graft whose scion died is not alive, though its rootstock is. */
export function lives(one: Pick<Occupant, "state">): boolean {
  return one.state === "alive";
}

/** Let one more record have happened to the row or block `id`. */
export function seated(seats: Seats, id: string, entry: Entry): void {
  switch (entry.kind) {
    case "planted":
    case "refilled":
      if (seat(entry.body.block, entry.body.row) !== id) return;
      for (const name of entry.body.positions) put(seats, name, planting(id, entry));
      break;
    case "left_empty":
      if (seat(entry.body.block, entry.body.row) !== id) return;
      for (const name of entry.body.positions) {
        if (!seats.positions.has(name)) seats.leftEmpty.add(name);
      }
      break;
    case "surveyed":
      if (seat(entry.body.block, entry.body.row) !== id) return;
      for (const one of entry.body.seen) look(seats, one, entry.id);
      break;
    default:
  }
}

type Placing = Entry & { kind: "planted" | "refilled" };

/** The plant that a record puts somewhere; `first` where it does not come to fill a gap. */
function planting(id: string, { about, body, kind, occurredAt, id: entry }: Placing): Occupant {
  const batch = about.find((one) => one !== id && one !== body.block) ?? "";
  const first = kind === "planted";
  return { batch, at: occurredAt, entry, state: "alive", cause: null, first, look: null };
}

function put(seats: Seats, name: string, plant: Occupant): void {
  const last = seats.positions.get(name);
  seats.leftEmpty.delete(name);
  const stands = last !== undefined && lives(last);
  if (stands && last.batch === plant.batch) return; // one plant that two people told of
  const first = plant.first && (last === undefined || (stands && last.first));
  seats.positions.set(name, { ...plant, first });
}

function look(seats: Seats, { position, state, cause }: Seen, entry: EntryId): void {
  const last = seats.positions.get(position);
  if (last) seats.positions.set(position, { ...last, state, cause: cause ?? null, look: entry });
}

export function seatsJson({ positions, leftEmpty }: Seats) {
  return {
    positions: Object.fromEntries(positions),
    left_empty: [...leftEmpty].sort(byText),
  };
}
