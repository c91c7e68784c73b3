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
import { refold, type KeptBatch, type KeptPlace } from "../shelf/folding";
import { Outbox, type OutboxRow, type Own } from "../shelf/outbox";
import { Engine, type Standing } from "../sync/engine";
import { book } from "./book.svelte";

/** Who writes now. `confirmed` is false where the PIN was forgotten. */
export interface Writer {
  readonly person: string;
  readonly confirmed: boolean;
  readonly since: string;
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
  syncing = $state(false);

  readonly outbox = new Outbox();
  copy = new Copy("copy-a");
  readonly #wire = new Wire(APP);
  readonly #engine = new Engine(this.outbox, this.#wire, APP, () => book.now());
  #again = false;

  /** What is on the disk. Called before the first screen. */
  async open(): Promise<void> {
    this.own = await this.outbox.own();
    if (!this.own) return;
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
    if (told.subjects.length > 0) await this.#states();
    if (told.rows) await this.#rows();
    await Promise.all([this.#told(), this.#queue()]);
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
    await this.#takeIn(rows);
    void this.#queue().then(() => this.sync());
    return rows;
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
    return this.rows.find((row) => row.type === type && row.id === id) ?? null;
  }

  get checks(): readonly Check[] {
    return this.outlook?.checks ?? [];
  }

  async #takeIn(rows: readonly OutboxRow[]): Promise<void> {
    const lines = rows.map(({ id, text }) => {
      const { about } = JSON.parse(text) as { about: string[] };
      return { id, about, text, seq: null };
    });
    await this.copy.advance({ lines, rows: [], gone: [], released: [], cursor: null });
    await refold(this.copy);
    await this.#states();
  }

  async #states(): Promise<void> {
    for (const { id, what, state } of await this.copy.folded()) {
      if (what === "batch") this.batches.set(id, state as KeptBatch);
      else this.places.set(id, state as KeptPlace);
    }
  }

  async #rows(): Promise<void> {
    this.rows = await this.copy.rows();
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
