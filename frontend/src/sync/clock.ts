/**
 * The office's clock, as this phone knows it.
 *
 * What is written is stamped by the phone's clock plus the offset learned from the office. A gate
 * asks `sure`: where the offset was never learned, or the phone's clock was set since, nobody knows
 * what time it is. A monotone clock tells that: the phone's own may be set back and forth.
 */
import type { Instant } from "../log/entry";
import type { KeptClock } from "../shelf/row";

export interface Clocks {
  /** Milliseconds since 1970, as the phone believes. */
  readonly wall: () => number;
  /** Milliseconds since some moment, which nobody can set. It may stand still while a phone sleeps. */
  readonly mono: () => number;
}

// What networks correct by themselves is no jump.
const TOLERANCE_MS = 60_000;
// Within one trip both clocks of a phone go alike, or it slept or was set on the way.
const ALIKE_MS = 1000;

const REAL: Clocks = { wall: () => Date.now(), mono: () => performance.now() };

export class Clock {
  readonly #clocks: Clocks;
  #offset: number | null = null;
  #high = 0;
  #given = 0;
  #base: number;
  #jumped = false;
  #slept = false;
  #guessed = false;

  constructor(clocks: Clocks = REAL) {
    this.#clocks = clocks;
    this.#base = this.#drift();
  }

  /** Go on with what was known when the phone was last used. */
  load(kept: KeptClock | null): void {
    if (!kept) return;
    this.#high = Math.max(this.#high, kept.high);
    if (this.#offset !== null && !this.#guessed) return;
    this.#guessed = false;
    this.#offset = kept.offset;
  }

  /** Go on with what was kept beside the disk, until the disk is read. */
  guess(kept: KeptClock): void {
    if (this.#offset !== null) return;
    this.load(kept);
    this.#guessed = true;
  }

  /**
   * The office's clock less the phone's, in milliseconds, as a ping told it just now.
   *
   * A ping that took long can be wrong by half its trip: what is known and lies within that stands,
   * so that two acts of one minute keep their order.
   */
  learn(offset: number, tripMs = 0): KeptClock {
    const fits = this.#offset !== null && Math.abs(offset - this.#offset) <= tripMs / 2;
    if (!fits) this.#offset = offset;
    this.#guessed = false;
    this.#high = this.ms();
    this.#base = this.#drift();
    this.#jumped = false;
    this.#slept = false;
    return this.kept;
  }

  /**
   * Begin a question about the hour. What comes back takes the office's word, in ISO 8601, when it
   * has come: by then it is half of the trip old. Null where the phone slept or was set on the way:
   * how old the word is nobody knows, and what is known stands.
   */
  asks(): (serverTime: string) => KeptClock | null {
    const [wall, mono] = [this.#clocks.wall(), this.#clocks.mono()];
    return (serverTime) => {
      const came = this.#clocks.wall();
      const trip = this.#clocks.mono() - mono;
      if (trip > TOLERANCE_MS || Math.abs(came - wall - trip) > ALIKE_MS) return null;
      return this.learn(Math.round(Date.parse(serverTime) + trip / 2 - came), trip);
    };
  }

  /** Nobody looks at the phone, or looks at it again: it may have slept meanwhile. */
  rested(): void {
    this.#look();
    this.#slept = true;
  }

  /** The best that is known, in milliseconds. */
  ms(): number {
    return Math.round(this.#clocks.wall() + (this.#offset ?? 0));
  }

  now(): Instant {
    const at = this.ms();
    // Set right by seconds, it waits: what is written second is never dated before the first.
    const waits = at < this.#given && this.#given - at <= TOLERANCE_MS;
    if (!waits) this.#given = at;
    return new Date(this.#given).toISOString() as Instant;
  }

  /** The instant where it can be relied on; null where the clock is unknown or has jumped. */
  sure(): Instant | null {
    this.#look();
    return this.#offset === null || this.#jumped ? null : this.now();
  }

  /** The phone's clock less the office's, for the record; null where that is not known. */
  get skewMs(): number | null {
    return this.sure() === null ? null : -(this.#offset ?? 0);
  }

  /** What to keep for the next start; never later than an instant that was used. */
  get kept(): KeptClock {
    this.#high = Math.max(this.#high, this.ms());
    return { offset: this.#offset ?? 0, high: this.#high };
  }

  get known(): boolean {
    return this.#offset !== null;
  }

  #drift(): number {
    return this.#clocks.wall() - this.#clocks.mono();
  }

  #look(): void {
    const drift = this.#drift() - this.#base;
    // While a phone sleeps its monotone clock may stand still: then being ahead proves nothing.
    if (drift > TOLERANCE_MS && this.#slept) this.#base += drift;
    else if (Math.abs(drift) > TOLERANCE_MS) this.#jumped = true;
    if (this.ms() < this.#high - TOLERANCE_MS) this.#jumped = true;
    this.#slept = false;
  }
}

/** The clock of this page. */
export const clock = new Clock();
