/** What stands against work with plants or in places, as far as this phone knows it now. */
import { byText, type Instant } from "./entry";
import { gate, verdict, type GateRow, type Here, type Verdict } from "./gate";
import { provisional, type Provisional, type Seat } from "./holds";
import { grounds, ordersOn, type OnGround } from "./grounds";
import type { Lately, Suspicion, Treatment } from "./lately";
import type { Occupant } from "./positions";
import type { Seats } from "./seats";
import type { Told, ToldGate, ToldHold } from "./told";

export type { Told, ToldBatch, ToldGate, ToldHold, ToldPlace } from "./told";

export interface KnownBatch {
  readonly id: string;
  readonly label: string | null;
  readonly place: string | null;
  readonly since: string | null;
  readonly closed: boolean;
  /** Orders to hold that stand, by their references. */
  readonly holds: Readonly<Record<string, string>>;
  readonly lately: Lately;
}

export interface KnownPlace extends Seat {
  readonly holds: Readonly<Record<string, string>>;
  /** The plant that each hole of a row took last. */
  readonly positions: Readonly<Record<string, Pick<Occupant, "batch" | "state">>>;
  readonly lately: Lately;
}

export interface Ground {
  /** Null where the clock is unknown or jumped. */
  readonly now: Instant | null;
  readonly seats: Seats;
  readonly batches: ReadonlyMap<string, KnownBatch>;
  readonly places: ReadonlyMap<string, KnownPlace>;
  readonly told: Told | null;
}

/** One thing that holds: by whom, since when, and which batches. */
export interface Hold {
  readonly by: string;
  readonly reference: string;
  readonly orders: readonly string[];
  readonly since: string;
  /** What an order about ground is about: of a batch it holds there, by the letter, what stands in it. */
  readonly place?: string | null;
  /** Worked out on this phone, until the office says it. */
  readonly here: boolean;
  readonly batches: readonly string[];
  readonly people: readonly string[];
}

/** A room that nobody goes into: until an instant, or until somebody writes the hour. */
export interface Shut {
  readonly room: string;
  readonly until: Instant | null;
  readonly unknown: boolean;
}

const NO_TREATMENTS: readonly Treatment[] = [];
const NO_REENTRY: Pick<Here, "reentryUntil" | "reentryUnknown"> = {
  reentryUntil: null,
  reentryUnknown: false,
};

/** By an order about the ground that some of its plants stand in (rule F-29). */
const GROUND = "ground_order";

export class World {
  readonly #ground: Ground;
  readonly #here: readonly Provisional[];
  readonly #grounds: ReadonlyMap<string, readonly OnGround[]>;
  /** Orders to hold that stand about a place itself. */
  readonly #orders: ReadonlyMap<string, KnownPlace["holds"]>;
  /** Treatments of plants by the room that they stand in; null until a screen asks. */
  #ofPlants: ReadonlyMap<string, readonly Treatment[]> | null = null;

  constructor(ground: Ground) {
    this.#ground = ground;
    this.#here = this.#provisional();
    this.#grounds = grounds(ground.places.values(), ground.seats);
    this.#orders = new Map([...ground.places.values()].map(({ id, holds }) => [id, holds]));
  }

  /** What holds any of these batches, or batches in these places; the oldest first. */
  holds(subjects: readonly string[]): Hold[] {
    const found = new Map<string, Hold>();
    for (const id of this.batchesOf(subjects)) {
      for (const hold of this.holdsOf(id)) {
        const key = `${hold.by} ${hold.reference}`;
        const before = found.get(key);
        found.set(key, before ? { ...before, batches: [...before.batches, id] } : hold);
      }
    }
    return [...found.values()].sort((a, b) => byText(a.since, b.since));
  }

  /** What holds one batch: as the office says, and what this phone worked out or read since. */
  holdsOf(id: string): Hold[] {
    const { told, batches } = this.#ground;
    const said = told?.batches[id]?.held ?? [];
    const orders = Object.entries(batches.get(id)?.holds ?? {});
    const stands = this.#grounds.get(id) ?? [];
    const here = this.#here.filter((hold) => hold.batches.includes(id));
    // Most batches are held by nothing, and all are asked with every figure of a screen.
    if (said.length + orders.length + stands.length + here.length === 0) return [];
    const known = new Set(said.flatMap(({ reference, orders = [] }) => [reference, ...orders]));
    const ordered = orders.filter(([reference]) => !known.has(reference));
    const plain = { orders: [], here: false, batches: [id], people: [] };
    return [
      ...said.map((one) => ({ ...plain, ...one, orders: one.orders ?? [] })),
      ...ordered.map(([reference, since]) => ({ ...plain, by: "order", reference, since })),
      ...stands
        .filter(({ reference, place }) => !said.some((one) => isOf(one, reference, place)))
        .map((one) => ({ ...plain, ...one, by: GROUND })),
      ...here.map(({ find, since, people }) => ({
        ...plain,
        ...{ by: "find", reference: find, since, here: true, people },
      })),
    ];
  }

  isHeld(id: string): boolean {
    return this.holdsOf(id).length > 0;
  }

  /** What holds the plant of a batch in a row or block: an order about other ground does not. */
  holdsAt(batch: string, ground: string): Hold[] {
    const around = this.#ground.seats.outward(ground);
    return this.holdsOf(batch).filter(
      ({ by, place = null }) => by !== GROUND || place === null || around.includes(place),
    );
  }

  /** The orders to hold that stand about a place or what is around it: nothing is planted there. */
  heldGround(ground: string): OnGround[] {
    const found = new Map<string, OnGround>();
    for (const one of ordersOn(ground, this.#orders, this.#ground.seats)) {
      if (!found.has(one.reference)) found.set(one.reference, one);
    }
    return [...found.values()];
  }

  /** May plants of a batch be planted in this row or block now? Held ground takes none (rule F-29). */
  mayPlant(batch: string, ground: string, person: string | null): Verdict {
    return this.#shutGround(ground) ?? this.mayI("planting", batch, person);
  }

  #shutGround(ground: string): Verdict | null {
    const [order] = this.heldGround(ground);
    if (!order) return null;
    const { reference, since } = order;
    const name = this.#ground.seats.get(order.place)?.body["name"];
    const about = { reference, since, place: typeof name === "string" ? name : order.place };
    const opens = { code: "when_lifted", params: { reference } };
    return verdict("no", "held_by_place_order", about, opens);
  }

  /** Who was inside with a find that only this phone knows. */
  hereOf(find: string): Provisional | null {
    return this.#here.find((one) => one.find === find) ?? null;
  }

  /** Rooms of these batches and places that nobody may go into now. */
  shut(subjects: readonly string[]): Shut[] {
    const rooms = new Set(subjects.map((id) => this.roomOf(id)).filter((room) => room !== null));
    return [...rooms].map((room) => this.shutOf(room)).filter((one) => this.#isShut(one));
  }

  shutOf(room: string): Shut {
    const { told } = this.#ground;
    const treatments = this.#treatmentsIn(room);
    const said = (told?.places[room]?.reentry_until ?? null) as Instant | null;
    const until = [said, ...treatments.map((one) => one.until)]
      .filter((at) => at !== null)
      .reduce<Instant | null>((last, at) => (last === null || at > last ? at : last), null);
    return { room, until, unknown: treatments.some((one) => one.until === null) };
  }

  /** May this person do this act? `entering` and `leaving` are asked of a place, the others of a batch. */
  mayI(act: string, subject: string, person: string | null): Verdict {
    if (act === "leaving") return verdict("yes", "leaving_is_free");
    const { now } = this.#ground;
    if (act === "entering") {
      return gate(this.#entering(subject, person), { now, heldBy: [], ...this.#reentry(subject) });
    }
    const row = this.toldOf(act, subject);
    if (this.#ground.told?.places[subject]) return gate(row, { now, heldBy: [], ...NO_REENTRY });
    const reentry = act === "releasing" ? NO_REENTRY : this.#reentry(subject);
    // Looking, watering and treating go on whatever holds (rule G-3).
    const heldBy = act === "treating" ? [] : this.#heldHere(subject);
    return gate(row, { now, heldBy, ...reentry });
  }

  /** What the office said of an act that is done to a batch, or to a room as such. */
  toldOf(act: string, subject: string): ToldGate | undefined {
    const { told } = this.#ground;
    const place = told?.places[subject];
    if (place) return act === "accepting" || act === "emptying" ? place[act] : undefined;
    return told?.batches[subject]?.gates.find((one) => one.act === act);
  }

  /** The room of a batch or a place; null of a batch that stands nowhere. */
  roomOf(subject: string): string | null {
    const { batches, seats } = this.#ground;
    const batch = batches.get(subject);
    if (!batch) return seats.room(subject);
    return batch.place === null ? null : seats.room(batch.place);
  }

  /** These batches, and the living ones in these places. */
  batchesOf(subjects: readonly string[]): string[] {
    const { batches, seats } = this.#ground;
    const named = new Set(subjects);
    const inside = new Set(
      subjects.filter((id) => !batches.has(id)).flatMap((id) => seats.subtree(id)),
    );
    const found = [...batches.values()].filter(
      ({ id, place, closed }) => named.has(id) || (!closed && inside.has(place ?? "")),
    );
    return found.map(({ id }) => id);
  }

  /** What was said of the person, where only some may go in; of a bench, what was said of its room. */
  #entering(place: string, person: string | null): GateRow | undefined {
    const { told, seats } = this.#ground;
    const said = told?.places[place] ?? told?.places[seats.room(place)];
    return (person === null ? undefined : said?.people[person]) ?? said?.entering;
  }

  #reentry(subject: string): typeof NO_REENTRY {
    const room = this.roomOf(subject);
    if (room === null) return NO_REENTRY;
    const { until, unknown } = this.shutOf(room);
    return { reentryUntil: until, reentryUnknown: unknown };
  }

  #heldHere(id: string): string[] {
    const { batches, places, seats } = this.#ground;
    const { holds = {}, place = null } = batches.get(id) ?? {};
    const around = place === null ? [] : seats.outward(place);
    return [
      ...this.#here.filter((hold) => hold.batches.includes(id)).map(({ find }) => find),
      ...Object.keys(holds),
      ...(this.#grounds.get(id) ?? []).map(({ reference }) => reference),
      ...around.flatMap((seat) => Object.keys(places.get(seat)?.holds ?? {})),
    ];
  }

  #provisional(): Provisional[] {
    const { told, batches, places, seats } = this.#ground;
    const known = new Set(told?.incidents.map(({ id }) => id));
    const found = new Map<string, Suspicion>();
    for (const { lately } of [...batches.values(), ...places.values()]) {
      for (const one of lately.suspicions) if (!known.has(one.find)) found.set(one.find, one);
    }
    const living = [...batches.values()].filter(({ closed }) => !closed);
    return provisional(found.values(), living, places.values(), seats);
  }

  #treatmentsIn(room: string): Treatment[] {
    const { places, seats } = this.#ground;
    const near = [...seats.subtree(room), ...seats.outward(room)];
    const ofPlaces = near.flatMap((seat) => places.get(seat)?.lately.treatments ?? NO_TREATMENTS);
    this.#ofPlants ??= this.#treatmentsOfPlants();
    return [...ofPlaces, ...(this.#ofPlants.get(room) ?? NO_TREATMENTS)];
  }

  #treatmentsOfPlants(): ReadonlyMap<string, readonly Treatment[]> {
    const { batches, seats } = this.#ground;
    const found = new Map<string, Treatment[]>();
    for (const { place, since, lately } of batches.values()) {
      if (place === null || since === null) continue;
      const here = lately.treatments.filter(({ endedAt }) => since <= endedAt);
      if (here.length === 0) continue;
      const room = seats.room(place);
      found.set(room, [...(found.get(room) ?? []), ...here]);
    }
    return found;
  }

  #isShut({ until, unknown }: Shut): boolean {
    const { now } = this.#ground;
    return unknown || (until !== null && (now === null || now < until));
  }
}

function isOf({ by, ...one }: ToldHold, reference: string, place: string): boolean {
  return by === GROUND && one.reference === reference && one.place === place;
}
