/**
 * One phone and the office: send everything, fetch everything, fold what changed.
 *
 * Safe to break off anywhere. Sending never waits for fetching, and what is sent never moves the
 * cursor. The outbox is the one thing that must not be lost; the copy may be pulled anew.
 */
import { NoNet, Refused, type Ahead, type App, type Wire } from "../net/sync";
import { Overtaken, type Copy } from "../shelf/copy";
import { refold, takeInOwn } from "../shelf/folding";
import { keepForecast, tagOf } from "../shelf/forecast";
import { ShelfFault } from "../shelf/handle";
import type { Outbox, Own } from "../shelf/outbox";
import type { CopyName } from "../shelf/row";
import type { Clock, Clocks } from "./clock";
import type { Standing } from "./pace";
import { Fetcher, Gap, OtherEpoch, placeOf } from "./pull";
import type { PhotoSender } from "./photos";
import { Sender, type PhotosWaiting } from "./push";
import { renew, type Copies } from "./renew";

export type { Standing } from "./pace";

/** What changed, while the round still goes on. */
export interface Change {
  readonly copy: CopyName;
  /** Subjects whose state changed; null for all of them. */
  readonly subjects: readonly string[] | null;
  readonly rows: boolean;
  readonly outlook: boolean;
}

export interface Round {
  readonly standing: Standing;
  readonly retryAfterS: number | null;
  /** When the office answered in this round; null where it did not. */
  readonly heardAt: string | null;
  /** Whether there is more to do at once. */
  readonly more?: boolean;
}

/** What an engine stands on. All of it can be replaced, so that it runs anywhere. */
export interface Ground {
  readonly outbox: Outbox;
  readonly photos?: PhotosWaiting;
  readonly photoSender?: PhotoSender;
  readonly copies: Copies;
  readonly wire: Wire;
  readonly app: string;
  readonly clock: Clock;
  readonly clocks: Clocks;
  readonly onChange: (change: Change) => void;
  readonly onClock: (offset: number) => void;
  readonly onApp: (app: App) => void;
}

const SHOW_EVERY_MS = 2000;
/** So many subjects of the first lines are folded at once: a screen shows no more. */
const FIRST_SUBJECTS = 10;
/** So many times as long as folding took, lines are fetched before it is done again. */
const FETCH_TO_FOLD = 4;
const RENEWALS = 3;
/** After these answers to a push there is nothing to fetch either. */
const ENDS = [401, 403, 409, 429, 503];

export class Engine {
  readonly #ground: Ground;
  readonly #sender: Sender;

  constructor(ground: Ground) {
    this.#ground = ground;
    const { outbox, app, clock, photos } = ground;
    this.#sender = new Sender(outbox, app, () => clock.now(), photos);
  }

  /** Send, fetch, fold: once. Null where this phone belongs to no nursery. Never throws. */
  async round(signal: AbortSignal): Promise<Round | null> {
    const wire = this.#ground.wire.until(signal);
    let heardAt: string | null = null;
    let ahead: Promise<Ahead | null> | null = null;
    try {
      const own = await this.#ground.outbox.own();
      if (!own) return null;
      ahead = this.#ahead(wire, own);
      const epoch = await this.#ping(wire);
      heardAt = this.#ground.clock.now();
      await this.#both(wire, epoch, await ahead);
      const more = await this.#sendPhotos(wire);
      return { standing: "calm", retryAfterS: null, heardAt, ...(more ? { more } : {}) };
    } catch (trouble) {
      return broken(trouble, heardAt);
    } finally {
      (await ahead)?.drop();
    }
  }

  /** Ask for what others wrote beside the first question: on a bad link each waits half a second. */
  async #ahead(wire: Wire, own: Own): Promise<Ahead | null> {
    try {
      const cursor = this.#ground.copies(own.copy).cursor();
      const [at, { count }] = await Promise.all([cursor, this.#ground.outbox.waiting()]);
      // What waits to be sent goes first, and is then in what comes.
      return at?.epoch === own.epoch && count === 0 ? wire.ahead(placeOf(at)) : null;
    } catch {
      return null;
    }
  }

  /**
   * Fetch and fold what others wrote, and nothing else. Null where that is done, or was nothing;
   * else how a round would stand that ended so. Never throws.
   */
  async glance(signal: AbortSignal): Promise<Round | null> {
    try {
      const own = await this.#ground.outbox.own();
      if (own) await this.#follow(this.#ground.wire.until(signal), own, false);
      return null;
    } catch (trouble) {
      return trouble instanceof Overtaken ? null : broken(trouble, null);
    }
  }

  /** Fold what quick taps left stale. Never throws: what is stale stays so until the next round. */
  async fold(): Promise<void> {
    const { outbox, copies, onChange } = this.#ground;
    try {
      const own = await outbox.own();
      if (!own) return;
      const copy = copies(own.copy);
      const subjects = await refold(copy);
      if (subjects.length === 0) return;
      onChange({ copy: copy.name, subjects, rows: false, outlook: false });
    } catch (trouble) {
      if (!(trouble instanceof ShelfFault)) throw trouble;
    }
  }

  /** Learn whose book the office keeps, and what time it is there. */
  async #ping(wire: Wire): Promise<string> {
    const { clock, outbox, onClock, onApp } = this.#ground;
    const told = clock.asks();
    const pong = await wire.ping();
    const learned = told(pong.server_time);
    if (learned) {
      await outbox.keepClock(learned);
      onClock(learned.offset);
    }
    onApp(pong.app);
    if (pong.epoch === null) throw new Unknown();
    return pong.epoch;
  }

  /** Send and fetch; where the book turns out to be another one, meet it and begin again. */
  async #both(wire: Wire, epoch: string, ahead: Ahead | null): Promise<void> {
    let wanted: string | null = null;
    for (let renewals = 0; ; renewals += 1) {
      const own = await this.#own();
      if (own.epoch !== epoch) wanted = epoch;
      try {
        if (wanted !== null) await this.#renew(wire, wanted);
        await this.#once(wire, await this.#own(), renewals === 0 ? ahead : null);
        return;
      } catch (trouble) {
        wanted = otherBook(trouble, own.epoch);
        if (wanted === null || renewals >= RENEWALS) throw trouble;
        epoch = wanted;
      }
    }
  }

  async #once(wire: Wire, own: Own, ahead: Ahead | null): Promise<void> {
    const { outbox } = this.#ground;
    let later: Refused | null = null;
    try {
      await this.#sender.run(wire);
    } catch (trouble) {
      // An office that fails over what is sent may still tell what others wrote.
      if (!(trouble instanceof Refused) || ENDS.includes(trouble.status)) throw trouble;
      later = trouble;
    }
    await this.#fetch(wire, own, ahead);
    await outbox.prune();
    if (later !== null) throw later;
  }

  /** Photos come after all else, and an office that takes none is no trouble for records. */
  async #sendPhotos(wire: Wire): Promise<boolean> {
    try {
      const more = (await this.#ground.photoSender?.run(wire)) ?? false;
      if (more) this.#sender.tellAgain();
      return more;
    } catch (trouble) {
      if (!(trouble instanceof Refused) || ENDS.includes(trouble.status)) throw trouble;
      return false;
    }
  }

  async #fetch(wire: Wire, own: Own, ahead: Ahead | null): Promise<void> {
    const copy = this.#ground.copies(own.copy);
    try {
      await this.#follow(wire, own, true, ahead);
      await this.#look(wire, copy);
    } catch (trouble) {
      if (trouble instanceof ShelfFault && trouble.fault === "broken") await copy.destroy();
      throw trouble;
    }
  }

  /** Take in the feed to its end; where no line came, what else is to be folded only if `always`. */
  async #follow(wire: Wire, own: Own, always: boolean, ahead?: Ahead | null): Promise<void> {
    const { outbox } = this.#ground;
    const copy = this.#ground.copies(own.copy);
    const show = this.#show(copy);
    let due = always;
    const fetcher: Fetcher = new Fetcher(outbox, own.install, () => {
      due = true;
      return show(fetcher);
    });
    await fetcher.run(wire, copy, own.epoch, ahead);
    if (!due) return;
    await takeInOwn(copy, outbox);
    await show(fetcher, true);
  }

  /** Fold what came, at once of the first lines and then every now and then; tell it by parts. */
  #show(copy: Copy): (fetcher: Fetcher, last?: boolean) => Promise<void> {
    const { clocks, onChange } = this.#ground;
    let next = -Infinity;
    return async (fetcher, last = false) => {
      const begun = clocks.mono();
      const first = next === -Infinity && !last;
      if (!last && begun < next) return;
      const { rows } = fetcher;
      fetcher.rows = false;
      const tell = (subjects: readonly string[], rows = false): void => {
        onChange({ copy: copy.name, subjects, rows, outlook: false });
      };
      if (rows) tell([], rows);
      const some = first ? (await copy.stale()).slice(0, FIRST_SUBJECTS) : undefined;
      await refold(copy, some, tell);
      const ended = clocks.mono();
      next = ended + Math.max(SHOW_EVERY_MS, FETCH_TO_FOLD * (ended - begun));
    };
  }

  async #look(wire: Wire, copy: Copy): Promise<void> {
    const { clock, onChange } = this.#ground;
    const found = await wire.outlook(await tagOf(copy));
    const at = clock.now();
    if (found) await keepForecast(copy, { ...found, at });
    await copy.tell("heard", at);
    if (found) onChange({ copy: copy.name, subjects: [], rows: false, outlook: true });
  }

  async #renew(wire: Wire, epoch: string): Promise<void> {
    const { outbox, copies, onChange } = this.#ground;
    const copy = await renew(outbox, copies, wire, epoch);
    await this.#ground.photoSender?.offer();
    if (copy) onChange({ copy, subjects: null, rows: true, outlook: true });
  }

  async #own(): Promise<Own> {
    const own = await this.#ground.outbox.own();
    if (!own) throw new Unknown();
    return own;
  }
}

/** The office does not know this phone. */
class Unknown extends Error {}

/** Which book the phone must meet after this; null where it is no matter of books. */
function otherBook(trouble: unknown, epoch: string): string | null {
  if (trouble instanceof OtherEpoch) return trouble.epoch;
  if (trouble instanceof Gap) return epoch;
  if (!(trouble instanceof Refused)) return null;
  if (trouble.status === 410) return epoch;
  const told = trouble.params["epoch"];
  return trouble.code === "epoch_changed" && typeof told === "string" ? told : null;
}

function broken(trouble: unknown, heardAt: string | null): Round {
  const retryAfterS = trouble instanceof Refused ? trouble.retryAfterS : null;
  return { standing: standingOf(trouble), retryAfterS, heardAt };
}

function standingOf(trouble: unknown): Standing {
  if (trouble instanceof Overtaken) return "calm";
  if (trouble instanceof Unknown) return "sign_in";
  if (trouble instanceof ShelfFault) return trouble.fault === "full" ? "disk_full" : "shelf";
  if (trouble instanceof NoNet) return "no_net";
  if (!(trouble instanceof Refused)) return "later";
  if (trouble.status === 401) return "sign_in";
  if (trouble.status === 403) return trouble.code === "device_revoked" ? "revoked" : "sign_in";
  return trouble.status === 426 ? "update_first" : "later";
}
