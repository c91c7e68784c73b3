/**
 * One phone and the office: send everything, fetch everything, fold what changed.
 *
 * Safe to break off anywhere. Sending never waits for fetching, and what is sent never moves the
 * cursor. The outbox is the one thing that must not be lost; the copy may be pulled anew.
 */
import { NoNet, Refused, type PushBody, type Wire } from "../net/sync";
import { Copy, type Cursor } from "../shelf/copy";
import { refold, takeInOwn } from "../shelf/folding";
import type { Outbox, OutboxRow, Own } from "../shelf/outbox";
import { Gathered, parsed } from "./feed";

/** Why the queue stands still, or that it does not. Never a state of one record. */
export type Standing =
  "calm" | "no_net" | "later" | "sign_in" | "revoked" | "update_first" | "disk_full" | "shelf";

export interface Told {
  readonly standing: Standing;
  /** Subjects whose state changed. */
  readonly subjects: readonly string[];
  readonly rows: boolean;
  readonly outlook: boolean;
}

const PUSH_SIZE = 200;
const STEP = 500;

export class Engine {
  readonly #outbox: Outbox;
  readonly #wire: Wire;
  readonly #app: string;
  readonly #now: () => string;

  constructor(outbox: Outbox, wire: Wire, app: string, now: () => string) {
    this.#outbox = outbox;
    this.#wire = wire;
    this.#app = app;
    this.#now = now;
  }

  /** Send, fetch, fold: once. */
  async round(copy: Copy): Promise<Told> {
    const own = await this.#outbox.own();
    if (!own) return told("sign_in");
    let rows = false;
    try {
      await this.#push(own);
      rows = await this.#pull(copy);
      await takeInOwn(copy, this.#outbox);
      const outlook = await this.#look(copy);
      return { standing: "calm", subjects: await refold(copy), rows, outlook };
    } catch (trouble) {
      return { ...told(standingOf(trouble)), subjects: await refold(copy), rows };
    }
  }

  async #push(own: Own): Promise<void> {
    for (;;) {
      const { rows = [] } = (await this.#outbox.parcel(PUSH_SIZE)) ?? {};
      if (rows.length === 0) return;
      const receipt = await this.#wire.push(await this.#envelope(own, rows));
      await this.#outbox.acked(
        new Map(receipt.results.map((outcome) => [outcome.id, outcome])),
        receipt.durable_seq,
      );
      await this.#outbox.prune();
    }
  }

  async #envelope(own: Own, rows: readonly OutboxRow[]): Promise<PushBody> {
    const { count, oldest } = await this.#outbox.waiting();
    return {
      epoch: own.epoch,
      install: own.install,
      phone_time: this.#now(),
      app: this.#app,
      persisted: own.persisted,
      outbox: { unsent: count, n_max: own.n, oldest, photos: 0, photo_bytes: 0 },
      entries: rows.map(({ text }) => text),
    };
  }

  /** Fetch what others wrote; true where rows of reference data came. */
  async #pull(copy: Copy): Promise<boolean> {
    let rows = false;
    for (;;) {
      const at = await copy.cursor();
      const { more, rows: some } = await this.#page(copy, at);
      rows ||= some;
      if (!more) return rows;
    }
  }

  async #page(copy: Copy, at: Cursor | null): Promise<{ more: boolean; rows: boolean }> {
    let gathered = new Gathered();
    let rows = false;
    let epoch = at?.epoch ?? "";
    let from: Cursor | string = at ?? `s-${Math.random()}`;
    if (typeof from === "string") await copy.begin(from);
    const flush = async (cursor: Cursor | null): Promise<void> => {
      rows ||= gathered.rows.length + gathered.gone.length > 0;
      await copy.advance(gathered.step(cursor), from);
      if (cursor) from = cursor;
      await this.#seen(gathered);
      gathered = new Gathered();
    };
    for await (const raw of this.#wire.pull(at ? `${at.epoch}:${at.seq}` : "")) {
      const line = parsed(raw);
      if (line.t === "begin") epoch = line.epoch;
      else if (line.t === "end") {
        const [, seq = "0"] = line.next.split(":");
        await flush({ epoch, seq: Number(seq) });
        return { more: line.more, rows };
      } else {
        gathered.add(raw, line);
        if (gathered.count >= STEP)
          await flush(at && gathered.seq !== null ? { epoch, seq: gathered.seq } : null);
      }
    }
    throw new NoNet();
  }

  /** Own records that came back in the feed. */
  async #seen({ lines }: Gathered): Promise<void> {
    await this.#outbox.seen(lines);
  }

  async #look(copy: Copy): Promise<boolean> {
    const kept = await copy.told<{ tag: string | null }>("outlook");
    const found = await this.#wire.outlook(kept?.tag ?? null);
    if (found) await copy.tell("outlook", { ...found, at: this.#now() });
    await copy.tell("heard", this.#now());
    return found !== null;
  }
}

function told(standing: Standing): Told {
  return { standing, subjects: [], rows: false, outlook: false };
}

function standingOf(trouble: unknown): Standing {
  if (trouble instanceof NoNet) return "no_net";
  if (!(trouble instanceof Refused)) return "shelf";
  if (trouble.status === 401) return "sign_in";
  if (trouble.status === 403) return trouble.code === "device_revoked" ? "revoked" : "sign_in";
  if (trouble.status === 426) return "update_first";
  return trouble.status === 429 || trouble.status === 503 ? "later" : "no_net";
}
