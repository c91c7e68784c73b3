/**
 * The round of today, in the right order: rooms as they are walked, in a room clean plants before
 * doubtful ones, then as they stand.
 *
 * Which checks are due is the office's word; here is only which of them were answered since.
 */
import { byText, type Instant } from "./entry";
import type { LastLook, Lately } from "./lately";
import type { Seats } from "./seats";

/** A due check as the office shipped it. */
export interface Due {
  readonly id: string;
  readonly kind: string;
  readonly subject: string;
  readonly opens_at: string;
  readonly due_by: string;
  readonly answered_by: string | null;
  readonly skipped_by: string | null;
}

export interface Looked {
  readonly id: string;
  readonly label: string | null;
  readonly place: string | null;
  readonly alive: number | null;
  readonly closed: boolean;
  readonly finds: readonly string[];
  readonly one_of_parents: boolean;
  readonly lately: Lately;
}

export interface Seen {
  readonly id: string;
  readonly lately: Lately;
}

export interface Walk {
  readonly now: Instant;
  /** The first and the last instant of today in the nursery's zone. */
  readonly from: Instant;
  readonly until: Instant;
  readonly seats: Seats;
  readonly checks: readonly Due[];
  readonly isHeld: (batch: string) => boolean;
}

/** Why a batch comes last, the gravest last of all. */
export type Doubtful = "mixed" | "held" | "suspect";
const GRAVITY: readonly (Doubtful | null)[] = [null, "mixed", "held", "suspect"];

export interface Turn {
  readonly id: string;
  readonly label: string | null;
  readonly place: string;
  readonly alive: number | null;
  readonly doubtful: Doubtful | null;
  /** The check that today's look answers; null where none is open. */
  readonly check: Due | null;
  /** What was written of it today. */
  readonly look: LastLook | null;
  /** Asked for, and not written of today. */
  readonly open: boolean;
}

export interface RoomRound {
  readonly room: string;
  /** Asked for today, or done today. */
  readonly turns: readonly Turn[];
  /** What nobody asks for today and can be looked over all the same. */
  readonly others: readonly Turn[];
  readonly next: Turn | null;
  /** Plants that were looked over today, of all that the round is about. */
  readonly looked: number;
  readonly of: number;
}

/** The room of what stands in no place. */
export const NOWHERE = "";

/** The rooms in walking order, those in which something is held or suspect after the others. */
export function roundOf(
  batches: Iterable<Looked>,
  places: ReadonlyMap<string, Seen>,
  walk: Walk,
): RoomRound[] {
  const steps = new Map(walk.seats.walk.map(({ id }, i) => [id, i]));
  const stepOf = (place: string): number => steps.get(place) ?? steps.size;
  const indexed = { ...walk, of: bySubject(walk.checks) };
  const rooms = byRoom(batches, indexed);
  return [...rooms, ...elsewhere(rooms, places, indexed)]
    .map(([room, turns]) => roomRound(room, turns.sort(inTurn(stepOf))))
    .sort((a, b) => gravest(a) - gravest(b) || stepOf(a.room) - stepOf(b.room));
}

type InRoom = [room: string, turns: Turn[]];
type Indexed = Walk & { readonly of: ReadonlyMap<string, readonly Due[]> };

/** Of thousands of checks those of one subject are found at once. */
function bySubject(checks: readonly Due[]): ReadonlyMap<string, readonly Due[]> {
  const found = new Map<string, Due[]>();
  for (const check of checks) {
    const known = found.get(check.subject);
    if (known) known.push(check);
    else found.set(check.subject, [check]);
  }
  return found;
}

function byRoom(batches: Iterable<Looked>, walk: Indexed): ReadonlyMap<string, Turn[]> {
  const rooms = new Map<string, Turn[]>();
  for (const batch of batches) {
    if (batch.closed || batch.alive === 0) continue;
    const { place } = batch;
    const room = place === null ? NOWHERE : walk.seats.room(place);
    const turns = rooms.get(room) ?? [];
    rooms.set(room, turns);
    turns.push(turnOf(batch, place ?? NOWHERE, room, walk));
  }
  return rooms;
}

/** Where nothing of ours stands, the place itself is looked over. */
function elsewhere(
  rooms: ReadonlyMap<string, Turn[]>,
  places: ReadonlyMap<string, Seen>,
  walk: Indexed,
): InRoom[] {
  return walk.checks.flatMap(({ kind, subject }): InRoom[] => {
    if (kind !== "look_elsewhere" || rooms.has(subject)) return [];
    const turn = placeTurn(subject, places.get(subject)?.lately ?? NOTHING, walk);
    return turn.open || turn.look !== null ? [[subject, [turn]]] : [];
  });
}

function turnOf(batch: Looked, place: string, room: string, walk: Indexed): Turn {
  const { id, label, alive, lately } = batch;
  const said = { id, label, place, alive, doubtful: doubtOf(batch, walk) };
  return { ...said, ...askedOf(id, room, lately, walk) };
}

function placeTurn(room: string, lately: Lately, walk: Indexed): Turn {
  const said = { id: room, label: null, place: room, alive: null, doubtful: null };
  return { ...said, ...askedOf(room, room, lately, walk) };
}

function askedOf(
  id: string,
  room: string,
  lately: Lately,
  walk: Indexed,
): Pick<Turn, "check" | "look" | "open"> {
  const near = [id, room].flatMap((subject) => walk.of.get(subject) ?? []);
  const isAsked = (one: Due): boolean => asks(one, id, room) && isOpen(one, lately, walk.now);
  const check = near.find(isAsked) ?? null;
  const look = isToday(lately.look, walk) ? lately.look : null;
  return { check, look, open: check !== null && look === null };
}

export function isToday(one: { readonly at: Instant } | null, { from, until }: Walk): boolean {
  return one !== null && one.at >= from && one.at <= until;
}

/** A look-over of the batch, or of all that stands where people of an incident worked as well. */
function asks({ kind, subject }: Due, batch: string, room: string): boolean {
  return (
    (kind === "look_over" && subject === batch) || (kind === "look_elsewhere" && subject === room)
  );
}

function doubtOf({ id, finds, one_of_parents: mixed }: Looked, { isHeld }: Walk): Doubtful | null {
  if (finds.length > 0) return "suspect";
  if (isHeld(id)) return "held";
  return mixed ? "mixed" : null;
}

/** What these ask for stays until it is done. */
const STAYS: ReadonlySet<string> = new Set(["replace_trap", "look_elsewhere"]);

/** Open now by what the office said, and not answered or explained by a record of this phone. */
export function isOpen(check: Due, lately: Lately, now: Instant): boolean {
  if (check.answered_by !== null || check.skipped_by !== null) return false;
  if (now < check.opens_at || (now > check.due_by && !STAYS.has(check.kind))) return false;
  if (lately.skipped.includes(check.id)) return false;
  return !answers(check.kind, lately).some((at) => at !== null && at >= check.opens_at);
}

function answers(kind: string, { lookedAt, readAt, replacedAt }: Lately): (Instant | null)[] {
  if (kind === "trap") return [readAt];
  return kind === "replace_trap" ? [readAt, replacedAt] : [lookedAt];
}

function inTurn(stepOf: (place: string) => number): (a: Turn, b: Turn) => number {
  return (a, b) =>
    gravityOf(a) - gravityOf(b) ||
    stepOf(a.place) - stepOf(b.place) ||
    byLabel(a.label ?? a.id, b.label ?? b.id);
}

function gravityOf({ doubtful }: Turn): number {
  return GRAVITY.indexOf(doubtful);
}

/** A lost label puts nothing beside it in doubt. */
function gravest({ turns, others }: RoomRound): number {
  return [...turns, ...others].some((turn) => gravityOf(turn) > 1) ? 1 : 0;
}

/** T2 before T10: figures in a label count as figures. */
export function byLabel(a: string, b: string): number {
  const [one, other] = [piecesOf(a), piecesOf(b)];
  for (const [i, piece] of one.entries()) {
    const beside = other[i];
    if (beside === undefined) return 1;
    // Of letters neither is a number, and then the order of texts decides.
    const by = Number(piece) - Number(beside) || byText(piece, beside);
    if (by !== 0) return by;
  }
  return one.length - other.length;
}

function piecesOf(label: string): readonly string[] {
  return label.match(/\d+|\D+/g) ?? [];
}

function roomRound(room: string, all: readonly Turn[]): RoomRound {
  const turns = all.filter(({ open, look }) => open || look !== null);
  const seen = turns.filter(({ look }) => look !== null && look.answer !== "not_looked");
  return {
    room,
    turns,
    others: all.filter((turn) => !turns.includes(turn)),
    next: turns.find(({ open }) => open) ?? null,
    looked: seen.reduce(
      (sum, { alive, look }) => sum + Math.min(look?.plants ?? alive ?? 0, alive ?? Infinity),
      0,
    ),
    of: turns.reduce((sum, { alive, look }) => sum + (alive ?? look?.plants ?? 0), 0),
  };
}

/** Faster than the nursery's own floor for a tray: shown, never refused (rule R-5). */
export function isQuick(look: LastLook, floor: number | null): boolean {
  const { answer, minutes } = look;
  return answer !== "not_looked" && floor !== null && minutes !== null && minutes < floor;
}

/** Of what nothing was ever written. */
export const NOTHING: Lately = {
  look: null,
  lookedAt: null,
  trap: null,
  readAt: null,
  replacedAt: null,
  skipped: [],
  suspicions: [],
  treatments: [],
};
