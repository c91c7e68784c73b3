/**
 * The tree of places: what is inside what, in walking order.
 *
 * A place that somebody named and nobody has described is called by its name with joins for spaces,
 * so that two phones apart mean one bench when they write one name.
 */
import { byText } from "./entry";

export interface Seat {
  readonly id: string;
  readonly body: Readonly<Record<string, unknown>>;
}

/** Kinds whose plants share air, water and hands (rule E-2). */
const ROOMS: ReadonlySet<unknown> = new Set([
  "room",
  "anteroom",
  "house",
  "block",
  "store",
  "office",
]);
const LONGEST_ID = 64;
const UNSAID = /[\s\u0000-\u001f\u007f/\\?#%]+/g;

export class Seats {
  readonly #byId: ReadonlyMap<string, Seat>;
  readonly #inner = new Map<string | null, Seat[]>();
  /** Rooms and ways outward as they were found once: they are asked for with every figure of a screen. */
  readonly #rooms = new Map<string, string>();
  readonly #outward = new Map<string, readonly string[]>();

  constructor(rows: readonly Seat[]) {
    this.#byId = new Map(rows.map((row) => [row.id, row]));
    for (const row of [...rows].sort(inWalkingOrder)) {
      const around = this.#parent(row);
      const inside = this.#inner.get(around) ?? [];
      this.#inner.set(around, [...inside, row]);
    }
  }

  get(id: string): Seat | null {
    return this.#byId.get(id) ?? null;
  }

  inside(id: string | null): readonly Seat[] {
    return this.#inner.get(id) ?? [];
  }

  /** A place and those around it, from the inside out; a row lies in its block. A ring ends. */
  outward(id: string): readonly string[] {
    const known = this.#outward.get(id) ?? this.#outwardOf(id);
    this.#outward.set(id, known);
    return known;
  }

  #outwardOf(id: string): string[] {
    const around: string[] = [];
    let next: string | null = id;
    while (next !== null && !around.includes(next)) {
      around.push(next);
      next = this.#around(next);
    }
    return around;
  }

  #around(id: string): string | null {
    const row = this.#byId.get(id);
    if (row) return this.#parent(row);
    const block = id.slice(0, Math.max(0, id.lastIndexOf(".")));
    return this.#byId.has(block) ? block : null;
  }

  /** A place and all inside it, in walking order. */
  subtree(id: string): string[] {
    const found: string[] = [];
    const visit = (one: string): void => {
      if (found.includes(one)) return;
      found.push(one);
      for (const row of this.inside(one)) visit(row.id);
    };
    visit(id);
    return found;
  }

  /** The nearest place around it that shares its air; else the outermost short of the nursery. */
  room(id: string): string {
    const room = this.#rooms.get(id) ?? this.#room(id);
    this.#rooms.set(id, room);
    return room;
  }

  #room(id: string): string {
    let outermost = id;
    for (const one of this.outward(id)) {
      const kind = this.#byId.get(one)?.body["kind"];
      if (kind === undefined && one === id) continue;
      if (kind === "nursery" || kind === undefined) break;
      if (ROOMS.has(kind)) return one;
      outermost = one;
    }
    return outermost;
  }

  /** Where people work: rooms, houses and blocks, without the office and what lies before a room. */
  get rooms(): readonly Seat[] {
    return this.walk.filter(({ body }) =>
      ["room", "house", "block"].includes(String(body["kind"])),
    );
  }

  /** Every place, outer before inner. Places in a ring of parents come last. */
  get walk(): readonly Seat[] {
    const found = this.inside(null).flatMap(({ id }) => this.subtree(id));
    const turns = new Map(found.map((id, i) => [id, i]));
    const turnOf = ({ id }: Seat): number => turns.get(id) ?? found.length;
    return [...this.#byId.values()].sort((a, b) => turnOf(a) - turnOf(b));
  }

  #parent({ body }: Seat): string | null {
    const parent = body["parent"];
    return typeof parent === "string" && this.#byId.has(parent) ? parent : null;
  }
}

function inWalkingOrder(a: Seat, b: Seat): number {
  return turn(a) - turn(b) || byText(nameOf(a) + a.id, nameOf(b) + b.id);
}

function turn({ body }: Seat): number {
  const walk = body["walk"];
  return typeof walk === "number" ? walk : Number.MAX_SAFE_INTEGER;
}

function nameOf({ body }: Seat): string {
  const name = body["name"];
  return typeof name === "string" ? name : "";
}

/** The id of a place, or of a crop, that a person names; empty where nothing can be called so. */
export function idOfName(name: string): string {
  const id = name
    .normalize("NFC")
    .trim()
    .replace(UNSAID, "_")
    .replace(/^[_.]+|_+$/g, "");
  return Array.from(id).slice(0, LONGEST_ID).join("");
}

/** An id that nothing else has: of its name, as a phone would make it, else with a number. */
export function freeIdOf(name: string, taken: readonly string[]): string {
  const plain = idOfName(name).slice(0, 60);
  let made = plain;
  for (let n = 2; taken.includes(made); n += 1) made = `${plain}_${n}`;
  return made;
}

/** How a place is called that nobody has described. */
export function nameOfId(id: string): string {
  return id.replaceAll("_", " ");
}

/** A row of this name, however it is written; what is there is never named a second time. */
export function byName(name: string, rows: readonly Seat[]): Seat | null {
  const wanted = plain(name);
  return rows.find((row) => plain(nameOf(row)) === wanted || plain(row.id) === wanted) ?? null;
}

function plain(name: string): string {
  return idOfName(name).toLocaleLowerCase("en");
}
