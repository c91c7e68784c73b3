/** Which traps are to be read or changed today. */
import type { LastTrap, Lately } from "./lately";
import { isOpen, isToday, NOTHING, type Due, type Seen, type Walk } from "./round";

export interface TrapTurn {
  readonly id: string;
  readonly room: string;
  /** Its reading, or its change after one that could not be read. */
  readonly check: Due | null;
  readonly change: Due | null;
  readonly last: LastTrap | null;
  /** What was written of it today. */
  readonly today: LastTrap | null;
  readonly open: boolean;
}

/** The traps of all rooms, in walking order. One taken down is none any more. */
export function trapsOf(places: ReadonlyMap<string, Seen>, today: string, walk: Walk): TrapTurn[] {
  return walk.seats.walk
    .filter(({ body }) => body["kind"] === "trap")
    .filter(({ body }) => !(isDay(body["until"]) && body["until"] <= today))
    .map(({ id }) => trapTurn(id, places.get(id)?.lately ?? NOTHING, walk));
}

function trapTurn(id: string, lately: Lately, walk: Walk): TrapTurn {
  const mine = walk.checks.filter(({ subject }) => subject === id);
  const openOf = (kind: string): Due | null =>
    mine.find((one) => one.kind === kind && isOpen(one, lately, walk.now)) ?? null;
  const last = lately.trap;
  const today = isToday(last, walk) ? last : null;
  const [check, change] = [openOf("trap"), openOf("replace_trap")];
  const open = change !== null || (check !== null && today === null);
  return { id, room: walk.seats.room(id), check, change, last, today, open };
}

function isDay(value: unknown): value is string {
  return typeof value === "string";
}
