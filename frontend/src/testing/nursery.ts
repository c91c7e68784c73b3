/**
 * Some bad days of a few phones, played from a seed, and the peace after them.
 *
 * Runs over any office: the one in memory, or the real one at an address.
 */
import type { Draft } from "../log/write";
import type { Fetch } from "../net/office";
import { badLink, chance, FAULTS, pick, type LinkFault } from "./faults";
import { AUTHORS, TestPhone, type Time } from "./phones";

export const BATCHES = ["b-1", "b-2", "b-3"];
export const PLACE = "r-1";
const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

/** What an office lets the story do beside being asked. */
export interface Stage {
  readonly time: Time;
  /** The way in for the phone of this number. */
  fetch(phone: number): Fetch;
  join(phone: TestPhone, number: number): Promise<void>;
  /**
   * A backup that is tested, and bringing the last of them back as a new epoch. Absent where that
   * takes long: whoever directs the story then does it.
   */
  readonly book?: { backUp(): void; restore(): void };
}

export class Story {
  readonly phones: TestPhone[] = [];
  readonly #stage: Stage;
  readonly #random: () => number;
  #fates: (LinkFault | null)[] = [];

  constructor(stage: Stage, seed: number) {
    this.#stage = stage;
    this.#random = chance(seed);
  }

  /** So many phones join while all is well. */
  async begin(count: number): Promise<void> {
    for (let number = 0; number < count; number += 1) {
      const fetch = badLink(this.#stage.fetch(number), () => this.#fate(), this.#random);
      const phone = new TestPhone({ time: this.#stage.time, fetch, random: this.#random });
      await this.#stage.join(phone, number);
      this.phones.push(phone);
    }
    this.#stage.book?.backUp();
  }

  /** One thing happens. */
  async step(): Promise<void> {
    const random = this.#random;
    const phone = pick(random, this.phones);
    const { book, time } = this.#stage;
    time.now += Math.floor(random() * (book ? 2 * DAY_MS : MINUTE_MS));
    const roll = random();
    if (roll < 0.45) await this.#write(phone);
    else if (roll < 0.85) await this.#badRound(phone);
    else if (roll < 0.89) phone.reopen();
    else if (roll < 0.92) phone.error = pick(random, [-3 * 365, -1, 0, 0, 0.5]) * DAY_MS;
    else if (roll < 0.94) await (await phone.copy()).destroy();
    else if (roll < 0.97) book?.backUp();
    else book?.restore();
  }

  /** The link is whole again; every phone sends and fetches until nothing is left to say. */
  async peace(): Promise<void> {
    this.#fates = [];
    for (let i = 0; i < 3; i += 1) {
      for (const phone of this.phones) {
        phone.error = 0;
        phone.reopen();
        await phone.round();
      }
    }
  }

  async #badRound(phone: TestPhone): Promise<void> {
    const random = this.#random;
    const bad = random() < 0.7;
    this.#fates = Array.from({ length: 8 }, () =>
      bad && random() < 0.4 ? pick(random, FAULTS) : null,
    );
    await phone.round();
  }

  #fate(): LinkFault | null {
    return this.#fates.shift() ?? null;
  }

  async #write(phone: TestPhone): Promise<void> {
    const random = this.#random;
    const count = random() < 0.1 ? 30 : 1 + Math.floor(random() * 3);
    const drafts = Array.from({ length: count }, () => this.#draft(phone));
    await phone.writeAll(drafts, pick(random, AUTHORS));
  }

  #draft(phone: TestPhone): Draft {
    const random = this.#random;
    const batch = pick(random, BATCHES);
    const roll = random();
    if (roll < 0.1) {
      const batches = [{ id: batch, label: `T${batch}`, stated: 2000 }];
      return {
        kind: "received",
        about: [batch],
        body: { consignment: "c-1", place: PLACE, batches },
      };
    }
    if (roll < 0.3) {
      const alive = 1900 + Math.floor(random() * 10);
      return { kind: "counted", about: [batch], body: { method: "full", alive } };
    }
    if (roll < 0.4) return { kind: "moved", about: [...BATCHES, PLACE], body: { to: PLACE } };
    if (roll < 0.5 && phone.written.length > 0) return this.#correction(phone);
    return { kind: "lost", about: [batch], body: { count: 1, fate: "died" } };
  }

  #correction(phone: TestPhone): Draft {
    const told = phone.written.map((text) => JSON.parse(text) as Written);
    const first = pick(
      this.#random,
      told.filter(({ corrects }) => corrects === null),
    );
    const { id, kind, about, body } = first;
    if (this.#random() < 0.5) return { kind: "withdrawn", about, body: {}, corrects: id };
    const count = 1 + Math.floor(this.#random() * 5);
    return { kind, about, body: kind === "lost" ? { ...body, count } : body, corrects: id };
  }
}

interface Written {
  readonly id: string;
  readonly kind: string;
  readonly about: string[];
  readonly body: Record<string, unknown>;
  readonly corrects: string | null;
}
