/**
 * What this phone knows and writes by itself: the one store that the worker's screens read.
 *
 * Reading never waits for the network; writing returns once the record is on the disk.
 */
import { SvelteMap } from "svelte/reactivity";
import type { Instant } from "../log/entry";
import { nextId, written, type Draft } from "../log/write";
import { Wire } from "../net/sync";
import type { Check, Outlook } from "../net/outlook";
import { Copy, type CopyLine, type CopyRow } from "../shelf/copy";
import { takeInOwn, type KeptBatch, type KeptPlace } from "../shelf/folding";
import { Outbox, type OutboxRow, type Own } from "../shelf/outbox";
import { Engine, type Standing } from "../sync/engine";
import { book } from "./book.svelte";
import { forgetWriter, keepWriter, keptWriter, type Writer } from "./writer";

/** What was saved last, for as long as it can be taken back by one tap. */
export interface Last {
  readonly rows: readonly OutboxRow[];
  /** What it says on the button: "T5: 2 dead". */
  readonly says: string;
}

const APP = "2026.12.0";
const EVERY_MS = 30_000;

class Phone {
  /** Null until this phone has joined a nursery. */
  own = $state.raw<Own | null>(null);
  writer = $state.raw<Writer | null>(null);
  readonly batches = new SvelteMap<string, KeptBatch>();
  readonly places = new SvelteMap<string, KeptPlace>();
  rows = $state.raw<readonly CopyRow[]>([]);
  outlook = $state.raw<Outlook | null>(null);
  outlookAt = $state<string | null>(null);
  heardAt = $state<string | null>(null);
  standing = $state<Standing>("calm");
  unsent = $state.raw<{ count: number; oldest: string | null }>({ count: 0, oldest: null });
  savedAt = $state<string | null>(null);
  last = $state.raw<Last | null>(null);
  syncing = $state(false);

  readonly outbox = new Outbox();
  copy = new Copy("copy-a");
  readonly #wire = new Wire(APP);
  readonly #engine = new Engine(this.outbox, this.#wire, APP, () => book.now());
  readonly #index = $derived(new Map(this.rows.map((row) => [`${row.type} ${row.id}`, row])));
  #again = false;

  /** What is on the disk. Called before the first screen. */
  async open(): Promise<void> {
    this.own = await this.outbox.own();
    if (!this.own) return;
    this.writer = keptWriter(Date.now());
    this.copy = new Copy(this.own.copy);
    await takeInOwn(this.copy, this.outbox);
    await Promise.all([this.#states(), this.#rows(), this.#told(), this.#queue()]);
  }

  /** Join a nursery by a one-time code. */
  async join(code: string): Promise<void> {
    const install = `i-${crypto.randomUUID()}`;
    const joined = await this.#wire.enrol(code, install);
    this.own = await this.outbox.know({ install, ...joined });
    await this.sync();
  }

  /** Begin to send and fetch on open, focus, `online` and every half minute. */
  watch(): void {
    const kick = (): void => void this.sync();
    addEventListener("online", kick);
    addEventListener("focus", kick);
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") kick();
    });
    setInterval(kick, EVERY_MS);
    kick();
  }

  /** Somebody begins to write; the one before can be undone by nobody else. */
  begin(person: string, confirmed: boolean): void {
    this.writer = { person, confirmed };
    this.last = null;
    this.touch();
  }

  /** Nobody writes any more: the phone goes from hand to hand. Nothing that was saved changes. */
  rest(): void {
    this.writer = null;
    this.last = null;
    forgetWriter();
  }

  /** Nobody touched the phone for a while. */
  restIfLeft(): void {
    if (this.writer && keptWriter(Date.now()) === null) this.rest();
  }

  /** Somebody is at the phone: the time after which it asks again who writes begins anew. */
  touch(): void {
    if (this.writer) keepWriter(this.writer, Date.now());
  }

  /** One round with the office. A call during a round asks for another after it. */
  async sync(): Promise<void> {
    if (!this.own) return;
    if (this.syncing) {
      this.#again = true;
      return;
    }
    this.syncing = true;
    try {
      do await this.#round();
      while (this.#wanted());
    } finally {
      this.syncing = false;
    }
  }

  async #round(): Promise<void> {
    this.#again = false;
    const told = await this.#engine.round(this.copy);
    this.standing = told.standing;
    if (told.subjects.length > 0) await this.#states(told.subjects);
    if (told.rows) await this.#rows();
    await Promise.all([this.#told(), this.#queue()]);
    // A phone that stays open past midnight is in the next day.
    this.#house();
  }

  #wanted(): boolean {
    return this.#again;
  }

  /**
   * Save records: on the disk when this returns, whatever the signal.
   *
   * @throws ShelfFault where the phone can keep nothing; the form must stay as it is then.
   */
  async write(...drafts: readonly Draft[]): Promise<readonly OutboxRow[]> {
    const { own, writer } = this;
    if (!own || !writer) throw new Error("Nobody writes on this phone yet.");
    const now = book.now() as Instant;
    const pen = {
      author: writer.person,
      confirmed: writer.confirmed,
      device: own.device,
      install: own.install,
      now,
      offsetMin: -new Date().getTimezoneOffset(),
      skewMs: null,
      basedOn: (await this.copy.cursor())?.seq ?? null,
    };
    const rows = await this.outbox.save(
      now,
      drafts.map((draft) => (n, last) => {
        const id = nextId(Date.parse(now), last, crypto.getRandomValues(new Uint8Array(8)));
        const salt = hex(crypto.getRandomValues(new Uint8Array(8)));
        return { id, text: written(draft, pen, { id, n, salt }) };
      }),
    );
    this.savedAt = now;
    await this.#states(await takeInOwn(this.copy, this.outbox));
    void this.#queue().then(() => this.sync());
    return rows;
  }

  /** Save what one act on a screen is, and offer to take it back until the next act is saved. */
  async act(says: string, ...drafts: readonly Draft[]): Promise<readonly OutboxRow[]> {
    const rows = await this.write(...drafts);
    this.last = { rows, says };
    return rows;
  }

  /** Take back what was saved last: it stays in the book, withdrawn. */
  async undo(): Promise<void> {
    const { last } = this;
    if (!last) return;
    await this.write(
      ...last.rows.map(({ id, text }) => {
        const { about } = JSON.parse(text) as { about: string[] };
        return { kind: "withdrawn", about, body: {}, corrects: id };
      }),
    );
    this.last = null;
  }

  /** What the writer is here: worker or grower; null where nobody writes. */
  get role(): string | null {
    const role = this.writer && this.row("person", this.writer.person)?.body["role"];
    return typeof role === "string" ? role : null;
  }

  /** Every record about a subject, this phone's own included. */
  async about(subject: string): Promise<readonly CopyLine[]> {
    return this.copy.about(subject);
  }

  /** Rows of one type of reference data. */
  rowsOf(type: string): readonly CopyRow[] {
    return this.rows.filter((row) => row.type === type);
  }

  row(type: string, id: string): CopyRow | null {
    return this.#index.get(`${type} ${id}`) ?? null;
  }

  get checks(): readonly Check[] {
    return this.outlook?.checks ?? [];
  }

  async #states(subjects?: readonly string[]): Promise<void> {
    for (const { id, what, state } of await this.copy.states(subjects)) {
      if (what === "batch") this.batches.set(id, state as KeptBatch);
      else this.places.set(id, state as KeptPlace);
    }
  }

  async #rows(): Promise<void> {
    this.rows = await this.copy.rows();
    this.#house();
  }

  #house(): void {
    if (!this.own) return;
    const { id, zone } = this.own.nursery;
    const mark = this.row("nursery", id)?.body["decimal_mark"];
    book.house(zone, mark === "," ? mark : ".");
  }

  async #told(): Promise<void> {
    const kept = await this.copy.told<{ body: Outlook; at: string }>("outlook");
    this.outlook = kept?.body ?? null;
    this.outlookAt = kept?.at ?? null;
    this.heardAt = await this.copy.told<string>("heard");
  }

  async #queue(): Promise<void> {
    this.unsent = await this.outbox.waiting();
  }
}

function hex(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

export const phone = new Phone();
