/** Fetching what others wrote: row and cursor move together, so it may break off at any line. */
import { NoNet, type Ahead, type Wire } from "../net/sync";
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

/**
 * The first few lines are shown at once. The others are kept some thousand at a time: what comes
 * while a step is being written waits for the next, so a quick link makes few steps and large ones;
 * not so large, in lines or in rows of the copy, that a slow phone writes at one for seconds.
 */
const FIRST_STEP = 40;
const STEP = 1000;
const MOST_LINES = 5000;
const MOST_ROWS = 1000;

/** A page without a worker draws meanwhile: it reads on once a step is written and shown. */
const ON_A_PAGE = "document" in globalThis;

interface Page {
  readonly copy: Copy;
  /** The epoch that it must be of; null where any will do. */
  readonly epoch: string | null;
  from: Cursor | string;
  gathered: Gathered;
  lines: number;
  /** The number of the line that came last. */
  seq: number | null;
  /** The step that is being written, while more is read; what went wrong in it is thrown here. */
  writing: Promise<void> | null;
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

  /**
   * Follow the feed to its end, from a snapshot where the copy is empty.
   *
   * @param ahead its first page, if that is still the one that comes next.
   */
  async run(wire: Wire, copy: Copy, epoch: string, ahead?: Ahead | null): Promise<void> {
    let at = await copy.cursor();
    if (at && at.epoch !== epoch) throw new OtherEpoch(epoch);
    at ??= await this.snapshot(wire, copy, epoch);
    for (let more = true; more;) {
      const page = this.#page(copy, epoch, at);
      const after = placeOf(at);
      const asked = ahead?.after === after ? ahead.lines : wire.pull(after);
      ahead = null;
      more = await this.#read(asked, page);
      at = page.from as Cursor;
    }
  }

  /** Make a copy anew from everything that is about live subjects. */
  async snapshot(wire: Wire, copy: Copy, epoch: string | null): Promise<Cursor> {
    const page = this.#page(copy, epoch, `snapshot-${this.#random()}`);
    await copy.begin(page.from as string);
    await this.#read(wire.pull(""), page);
    return page.from as Cursor;
  }

  #page(copy: Copy, epoch: string | null, from: Cursor | string): Page {
    const proves = epoch !== null;
    const seq = typeof from === "string" ? null : from.seq;
    const gathered = new Gathered(this.#install);
    return { copy, epoch, from, gathered, lines: 0, seq, writing: null, proves };
  }

  /** Read one page; true where there is more. What came before a break is kept. */
  async #read(lines: AsyncIterable<string>, page: Page): Promise<boolean> {
    let epoch: string | null = null;
    try {
      for await (const raw of lines) {
        const line = parsed(raw);
        if (line.t === "begin") {
          epoch = line.epoch;
          if (page.epoch !== null && epoch !== page.epoch) throw new OtherEpoch(epoch);
        } else if (epoch === null) {
          throw new NoNet();
        } else if (line.t === "end") {
          if (line.count !== page.lines) throw new NoNet();
          const [, seq = "0"] = line.next.split(":");
          await page.writing;
          await this.#flush(page, { epoch, seq: Number(seq) });
          return line.more;
        } else {
          await this.#add(page, raw, line);
        }
      }
    } catch (trouble) {
      if (trouble instanceof NoNet) await this.#keep(page);
      await page.writing?.catch(() => undefined);
      throw trouble;
    }
    await this.#keep(page);
    throw new NoNet();
  }

  async #add(page: Page, raw: string, line: ReturnType<typeof parsed>): Promise<void> {
    const { gathered } = page;
    if (page.seq !== null && line.seq !== page.seq + 1) throw new Gap();
    gathered.add(raw, line);
    page.lines += 1;
    if (typeof page.from !== "string") page.seq = line.seq;
    if (page.lines !== FIRST_STEP && gathered.count < STEP) return;
    if (ON_A_PAGE) return this.#keep(page);
    const full = gathered.count >= MOST_LINES || gathered.load >= MOST_ROWS;
    if (page.writing && !full) return;
    await page.writing;
    this.#begin(page);
  }

  /** Write what was gathered so far, and do not wait for it. */
  #begin(page: Page): void {
    const writing = this.#step(page);
    page.writing = writing;
    writing.then(
      () => {
        page.writing = null;
      },
      () => undefined,
    );
  }

  /** Keep what was gathered so far, after what is being written. */
  async #keep(page: Page): Promise<void> {
    await page.writing;
    await this.#step(page);
  }

  /** In a tail the cursor moves along; a snapshot has none yet. */
  async #step(page: Page): Promise<void> {
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

/** A cursor as the office is asked by it. */
export function placeOf({ epoch, seq }: Cursor): string {
  return `${epoch}:${seq}`;
}
