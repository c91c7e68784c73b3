/** Whole phones for tests: outbox, copies and engine, each apart from the others. */
import "fake-indexeddb/auto";
import type { Draft } from "../log/write";
import type { Fetch } from "../net/office";
import { Wire } from "../net/sync";
import { Copy } from "../shelf/copy";
import { takeInOwn } from "../shelf/folding";
import { Outbox, type OutboxRow, type Own } from "../shelf/outbox";
import { Photos } from "../shelf/photos";
import { Reserve } from "../shelf/reserve";
import { Clock } from "../sync/clock";
import { Engine, type Change, type Ground, type Round } from "../sync/engine";
import { PhotoSender } from "../sync/photos";
import { composed, penOf } from "../sync/writing";
import { NURSERY } from "./office";
import { fresh } from "./shelf";

/** The phone's clock: `error` is how far it is off. */
export interface Time {
  now: number;
}

export interface Fitting {
  readonly time: Time;
  readonly fetch: Fetch;
  readonly app?: string;
  readonly random?: () => number;
}

/** Who writes in tests. */
export const AUTHORS = ["p-1", "p-2", "p-3"];

let installs = 0;

export class TestPhone {
  readonly outbox: Outbox;
  readonly photos: Photos;
  readonly clock: Clock;
  engine: Engine;
  readonly #ground: Ground;
  readonly changes: Change[] = [];
  readonly written: string[] = [];
  /** What its tabs were told of the office's clock. */
  readonly hours: number[] = [];
  readonly install: string;
  error = 0;
  readonly #copies: Record<"copy-a" | "copy-b", Copy>;
  readonly #random: () => number;

  constructor({ time, fetch, app = "2026.12.0", random = Math.random }: Fitting) {
    installs += 1;
    this.install = `i-${installs}`;
    this.#random = random;
    const name = fresh("phone");
    this.outbox = new Outbox(`${name}-outbox`);
    this.photos = new Photos(this.outbox, `${name}-photos`, new Reserve(`${name}-reserve`));
    this.#copies = {
      "copy-a": new Copy("copy-a", `${name}-copy-a`),
      "copy-b": new Copy("copy-b", `${name}-copy-b`),
    };
    const clocks = { wall: () => time.now + this.error, mono: () => time.now };
    this.clock = new Clock(clocks);
    this.#ground = {
      outbox: this.outbox,
      photos: () => this.photos.waiting(),
      photoSender: new PhotoSender(this.photos, this.outbox, clocks.mono),
      copies: (which) => this.#copies[which],
      wire: new Wire(app, fetch),
      app,
      clock: this.clock,
      clocks,
      onChange: (change) => this.changes.push(change),
      onClock: (offset) => this.hours.push(offset),
      onApp: () => undefined,
    };
    this.engine = new Engine(this.#ground);
  }

  /** The app was shut and opened: what it had in memory is gone. */
  reopen(): void {
    this.engine = new Engine(this.#ground);
  }

  async join(epoch = "e1", nursery = NURSERY): Promise<Own> {
    return this.outbox.know({ install: this.install, device: "d-1", nursery, epoch });
  }

  async own(): Promise<Own> {
    const own = await this.outbox.own();
    if (!own) throw new Error("this phone has not joined");
    return own;
  }

  async copy(): Promise<Copy> {
    return this.#copies[(await this.own()).copy];
  }

  /** Save as a screen does, by somebody. */
  async write(draft: Draft, person = "p-1"): Promise<OutboxRow> {
    const [row] = await this.writeAll([draft], person);
    if (!row) throw new Error("nothing was saved");
    return row;
  }

  async writeAll(drafts: readonly Draft[], person = "p-1"): Promise<OutboxRow[]> {
    const copy = await this.copy();
    const hand = { person, confirmed: true };
    const pen = penOf(await this.own(), hand, this.clock, (await copy.cursor())?.seq ?? null);
    const chance = (bytes: number) =>
      Uint8Array.from({ length: bytes }, () => Math.floor(this.#random() * 256));
    const rows = await this.outbox.save(pen.now, composed(drafts, pen, chance));
    await takeInOwn(copy, this.outbox);
    this.written.push(...rows.map(({ text }) => text));
    return rows;
  }

  async round(signal = new AbortController().signal): Promise<Round> {
    const round = await this.engine.round(signal);
    if (!round) throw new Error("this phone has not joined");
    return round;
  }

  /** States of the outbox, oldest first. */
  async states(): Promise<string[]> {
    return (await this.outbox.rows()).map(({ state }) => state);
  }

  /** Ids of the entries in this phone's copy that the feed brought. */
  async holds(): Promise<string[]> {
    const copy = await this.copy();
    const lines = await Promise.all(AUTHORS.map((author) => copy.by(author, "", "~")));
    return lines.flatMap((some) => some.filter(({ seq }) => seq !== null).map(({ id }) => id));
  }
}
