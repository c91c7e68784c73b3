/** Fetching what others wrote: row and cursor move together, so it may break off at any line. */
import { NoNet, type Wire } from "../net/sync";
import type { Copy, Cursor } from "../shelf/copy";
import type { Outbox } from "../shelf/outbox";
import { Gathered, parsed } from "./feed";

/** A line is missing: this copy can no longer be proved whole. */
export class Gap extends Error {}

/** The office keeps another book than this phone's copy is of. */
export class OtherEpoch extends Error {
  readonly epoch: string;

  constructor(epoch: string) {
    super("epoch_changed");
    this.epoch = epoch;
  }
}

/** The first few lines are shown at once, the others are kept by as many as a phone writes quickly. */
const FIRST_STEP = 40;
const STEP = 1000;

interface Page {
  readonly copy: Copy;
  /** The epoch that it must be of; null where any will do. */
  readonly epoch: string | null;
  from: Cursor | string;
  gathered: Gathered;
  lines: number;
  /** Whether own records among its lines prove that they have arrived. */
  readonly proves: boolean;
}

export class Fetcher {
  readonly #outbox: Outbox;
  readonly #install: string;
  readonly #onStep: () => Promise<void>;
  readonly #random: () => number;
  /** Whether rows of reference data came. */
  rows = false;

  /** @param onStep called after each step, for what came to be shown. */
  constructor(
    outbox: Outbox,
    install: string,
    onStep: () => Promise<void> = () => Promise.resolve(),
    random: () => number = Math.random,
  ) {
    this.#outbox = outbox;
    this.#install = install;
    this.#onStep = onStep;
    this.#random = random;
  }

  /** Follow the feed to its end, from a snapshot where the copy is empty. */
  async run(wire: Wire, copy: Copy, epoch: string): Promise<void> {
    let at = await copy.cursor();
    if (at && at.epoch !== epoch) throw new OtherEpoch(epoch);
    at ??= await this.snapshot(wire, copy, epoch);
    for (let more = true; more;) {
      const page = this.#page(copy, epoch, at);
      more = await this.#read(wire, page, `${at.epoch}:${at.seq}`);
      at = page.from as Cursor;
    }
  }

  /** Make a copy anew from everything that is about live subjects. */
  async snapshot(wire: Wire, copy: Copy, epoch: string | null): Promise<Cursor> {
    const page = this.#page(copy, epoch, `snapshot-${this.#random()}`);
    await copy.begin(page.from as string);
    await this.#read(wire, page, "");
    return page.from as Cursor;
  }

  #page(copy: Copy, epoch: string | null, from: Cursor | string): Page {
    const proves = epoch !== null;
    return { copy, epoch, from, gathered: new Gathered(this.#install), lines: 0, proves };
  }

  /** Read one page; true where there is more. What came before a break is kept. */
  async #read(wire: Wire, page: Page, after: string): Promise<boolean> {
    let epoch: string | null = null;
    try {
      for await (const raw of wire.pull(after)) {
        const line = parsed(raw);
        if (line.t === "begin") {
          epoch = line.epoch;
          if (page.epoch !== null && epoch !== page.epoch) throw new OtherEpoch(epoch);
        } else if (epoch === null) {
          throw new NoNet();
        } else if (line.t === "end") {
          if (line.count !== page.lines) throw new NoNet();
          const [, seq = "0"] = line.next.split(":");
          await this.#flush(page, { epoch, seq: Number(seq) });
          return line.more;
        } else {
          await this.#add(page, raw, line);
        }
      }
    } catch (trouble) {
      if (trouble instanceof NoNet) await this.#keep(page);
      throw trouble;
    }
    await this.#keep(page);
    throw new NoNet();
  }

  async #add(page: Page, raw: string, line: ReturnType<typeof parsed>): Promise<void> {
    const { gathered, from } = page;
    if (typeof from !== "string" && line.seq !== (gathered.seq ?? from.seq) + 1) throw new Gap();
    gathered.add(raw, line);
    page.lines += 1;
    if (page.lines === FIRST_STEP || gathered.count >= STEP) await this.#keep(page);
  }

  /** Keep what was gathered so far. In a tail the cursor moves along; a snapshot has none yet. */
  async #keep(page: Page): Promise<void> {
    const { from, gathered } = page;
    if (gathered.count === 0) return;
    const here = typeof from === "string" ? null : { ...from, seq: gathered.seq ?? from.seq };
    await this.#flush(page, here);
  }

  async #flush(page: Page, cursor: Cursor | null): Promise<void> {
    const { gathered, copy, from } = page;
    const stays = cursor === null || (typeof from !== "string" && cursor.seq === from.seq);
    // Nothing came: so it is nearly always, and the disk has better things to do.
    if (gathered.count === 0 && stays) return;
    page.gathered = new Gathered(this.#install);
    this.rows ||= gathered.rows.length + gathered.gone.length > 0;
    // First: once the cursor has moved, the feed never tells of them again.
    if (page.proves) await this.#outbox.seen(gathered.own);
    await this.#outbox.erased(gathered.erased);
    await copy.advance(gathered.step(cursor), from);
    if (cursor) page.from = cursor;
    if (gathered.count > 0) await this.#onStep();
  }
}
