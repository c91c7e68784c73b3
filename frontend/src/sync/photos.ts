/**
 * Sending photos: after all records, slice by slice, and on from where the signal broke off.
 *
 * The office says how far a photo has come, and only the office. The phone keeps its own until the
 * office says that a tested backup holds it.
 */
import { NoNet, Refused, type Wire } from "../net/sync";
import { Uploads } from "../net/uploads";
import type { PhotoFact, Photos } from "../shelf/photos";

const LARGEST = 256 * 1024;
const LEAST = 16 * 1024;
/** A slice that is cut is sent again: so much of a photo is at stake at most. */
const SHARE = 4;
const SMALL = 64 * 1024;
/** So many slices in a row may be cut before the phone waits for a better signal. */
const MOST_CUTS = 8;
/** After so long records and what others wrote come first again. */
const RUN_MS = 20_000;
/** Backups are made once a day; so often is asked which photos they hold, so many at once. */
const ASK_EVERY_MS = 10 * 60_000;
const ASK_AT_ONCE = 500;
/** Answers that are about this photo and not about the moment. */
const ABOUT = [400, 404, 413, 422, 460];

/** The records that wait: what is saved while photos go out goes first. */
export interface Queue {
  waiting(): Promise<{ readonly count: number }>;
}

export class PhotoSender {
  readonly #photos: Photos;
  readonly #queue: Queue;
  readonly #mono: () => number;
  /** As much as the link takes at once. */
  #size = LARGEST;
  /** What the office did not take is tried once as long as the app is open. */
  readonly #tried = new Set<string>();
  #asked = -Infinity;

  constructor(photos: Photos, queue: Queue, mono: () => number) {
    this.#photos = photos;
    this.#queue = queue;
    this.#mono = mono;
  }

  /**
   * Send what may be sent, for a while.
   *
   * @returns whether anything went out: then there is news for the office, and maybe more to send.
   * @throws NoNet, Refused where nothing more can be sent now.
   */
  async run(wire: Wire): Promise<boolean> {
    await this.#photos.settle();
    const uploads = new Uploads(wire);
    const rest = await this.#rest();
    let any = false;
    for (const fact of await this.#photos.ready()) {
      if (this.#tried.has(fact.id)) continue;
      if (await rest()) return true;
      try {
        if (!(await this.#send(uploads, fact, rest))) return true;
        await this.#photos.sent(fact.id);
      } catch (trouble) {
        if (!(trouble instanceof Refused) || !ABOUT.includes(trouble.status)) throw trouble;
        this.#tried.add(fact.id);
        await this.#photos.refused(fact.id, trouble.code);
      }
      any = true;
    }
    await this.#letGo(uploads);
    return any;
  }

  /** Let those go that a tested backup holds. An office that cannot say so holds none. */
  async #letGo(uploads: Uploads): Promise<void> {
    if (this.#mono() - this.#asked < ASK_EVERY_MS) return;
    this.#asked = this.#mono();
    const names = (await this.#photos.whole()).map(({ sha256 }) => sha256);
    try {
      for (let at = 0; at < names.length; at += ASK_AT_ONCE) {
        await this.#photos.safe(await uploads.safe(names.slice(at, at + ASK_AT_ONCE)));
      }
    } catch (trouble) {
      if (!(trouble instanceof Refused) || !ABOUT.includes(trouble.status)) throw trouble;
    }
  }

  /** The office keeps another book: ask it about all of them. */
  async offer(): Promise<void> {
    this.#tried.clear();
    await this.#photos.offer();
  }

  /** Whether it is time for something else: a record was saved, or this takes long. */
  async #rest(): Promise<() => Promise<boolean>> {
    const { count } = await this.#queue.waiting();
    const until = this.#mono() + RUN_MS;
    return async () => this.#mono() >= until || (await this.#queue.waiting()).count > count;
  }

  /** Send one, from where the office has it; false where it was left off for something else. */
  async #send(uploads: Uploads, fact: PhotoFact, rest: () => Promise<boolean>): Promise<boolean> {
    const data = await this.#photos.file(fact.id, "data");
    // Its bytes are gone, as a browser may do; nothing is to be sent.
    if (!data) throw new Refused(new Response(null, { status: 404 }), { code: "missing" });
    let offset = await uploads.begin({ ...fact, bytes: data.size });
    for (let cuts = 0; offset < data.size;) {
      if (await rest()) return false;
      try {
        const piece = data.slice(offset, offset + this.#slice(data.size));
        offset = await uploads.append(fact.sha256, offset, piece);
        this.#size = Math.min(LARGEST, this.#size * 2);
        cuts = 0;
      } catch (trouble) {
        cuts += 1;
        if (!goesOn(trouble) || cuts > MOST_CUTS) throw trouble;
        this.#size = Math.max(LEAST, Math.floor(this.#slice(data.size) / 2));
        offset = await uploads.at(fact.sha256);
      }
    }
    return true;
  }

  #slice(whole: number): number {
    return Math.min(this.#size, Math.max(SMALL, Math.ceil(whole / SHARE)), LARGEST);
  }
}

/** Whether the office can tell where to go on. */
function goesOn(trouble: unknown): boolean {
  if (trouble instanceof NoNet) return true;
  return trouble instanceof Refused && (trouble.status === 409 || trouble.status === 460);
}
