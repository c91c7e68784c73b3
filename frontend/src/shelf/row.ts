/** One record in the outbox, and what may become of it. Pure: the outbox keeps what this returns. */

/**
 * `queued` until the office answered for it, `acked` then, `seen` once it came back in the feed byte
 * for byte. `rescue`: it cannot be sent; it waits for a person and is in every export.
 */
export type OutboxState = "queued" | "acked" | "seen" | "rescue";

/**
 * Why a person should look at a record: the office turned its envelope down (`refused`), fails
 * over it (`stuck`), holds another text under its id (`differs`), or it was written for another
 * nursery (`elsewhere`).
 */
export type RowTrouble = "refused" | "stuck" | "differs" | "elsewhere";

/** What the office answered: `stored`, `known`, `set_aside` or `kept_raw`. */
export interface Outcome {
  readonly id: string;
  readonly status: string;
  readonly seq?: number;
  readonly code?: string;
  readonly ref?: string;
}

export interface OutboxRow {
  readonly id: string;
  readonly n: number;
  readonly text: string;
  readonly state: OutboxState;
  /** When it was saved, by the corrected clock. */
  readonly at: string;
  readonly outcome?: Outcome;
  readonly trouble?: RowTrouble;
  /** It stands in a file that was made of this outbox. */
  readonly exported?: boolean;
}

export type CopyName = "copy-a" | "copy-b";

/** Whose phone this is: made when it joins, kept as long as the browser keeps anything. */
export interface Own {
  readonly device: string;
  readonly install: string;
  readonly nursery: { readonly id: string; readonly name: string; readonly zone: string };
  readonly epoch: string;
  /** The highest number and id given; both only rise. */
  readonly n: number;
  readonly lastId: string | null;
  /** What the browser said when it was asked to keep the storage; null: not asked yet. */
  readonly persisted: boolean | null;
  /** Which of the two copies of the book is in use. */
  readonly copy: CopyName;
  /** Up to which number of the feed a tested backup holds the book. */
  readonly durable: number;
  /** How often a wrong PIN was typed on each tile, ever. */
  readonly wrongPins?: Readonly<Record<string, number>>;
}

export const BLANK: Omit<Own, "install"> = {
  device: "",
  nursery: { id: "", name: "", zone: "UTC" },
  epoch: "",
  n: 0,
  lastId: null,
  persisted: null,
  copy: "copy-a",
  durable: 0,
};

/** What is known of the office's clock, so that a start without signal goes on with it. */
export interface KeptClock {
  /** The office's clock less this phone's, in milliseconds. */
  readonly offset: number;
  /** The latest corrected instant that was ever used, in milliseconds. */
  readonly high: number;
}

/** An entry as the feed told it. */
export interface Told {
  readonly id: string;
  readonly text: string;
  readonly seq: number | null;
}

/** Whether it waits to be sent, or for a person who hands it in. */
export function waits({ state }: OutboxRow): boolean {
  return state === "queued" || state === "rescue";
}

/** The office answered for it. What came back in the feed already has gone further than that. */
export function answered(row: OutboxRow, outcome: Outcome): OutboxRow | null {
  if (row.state === "seen" || row.trouble === "elsewhere") return null;
  return { ...bare(row), state: "acked", outcome };
}

/** It cannot be sent as it is. */
export function troubled(row: OutboxRow, trouble: "refused" | "stuck"): OutboxRow | null {
  if (row.state !== "queued") return null;
  return { ...row, trouble, state: trouble === "refused" ? "rescue" : "queued" };
}

/** The feed told an entry of this id: only the same bytes are a proof that it arrived. */
export function told(row: OutboxRow, line: Told): OutboxRow | null {
  if (line.seq === null || row.trouble === "elsewhere") return null;
  if (row.text !== line.text)
    return row.trouble === "differs" ? null : { ...row, trouble: "differs" };
  if (row.state === "seen" && row.outcome?.seq === line.seq) return null;
  const outcome: Outcome = { status: "stored", ...row.outcome, id: row.id, seq: line.seq };
  return { ...bare(row), state: "seen", outcome };
}

/**
 * The book was made anew: what it lacks is sent again, what it has stands there under the number
 * that its new copy tells, and without a number it is kept.
 */
export function renewed(
  row: OutboxRow,
  lacking: boolean,
  line: Told | undefined,
  epoch: boolean,
): OutboxRow | null {
  if (row.trouble === "elsewhere") return null;
  const was = row.state === "acked" || row.state === "seen";
  if (was && lacking) return { ...bare(row), state: "queued" };
  const outcome = row.outcome && { ...row.outcome };
  if (outcome) delete outcome.seq;
  const kept: OutboxRow = was && epoch && outcome ? { ...row, state: "acked", outcome } : row;
  return (line && told(kept, line)) ?? (kept === row ? null : kept);
}

/** The office lacks this number, although it once answered for it: it is sent again. */
export function missed(row: OutboxRow): OutboxRow | null {
  const { state, outcome, trouble } = row;
  if (trouble === "elsewhere" || outcome?.status === "kept_raw") return null;
  return state === "acked" || state === "seen" ? { ...bare(row), state: "queued" } : null;
}

/** The phone joined another nursery: what was written for the one before is never sent to this. */
export function stranded(row: OutboxRow): OutboxRow {
  return { ...row, trouble: "elsewhere", state: row.state === "queued" ? "rescue" : row.state };
}

/** Without what was said of it before. */
function bare(row: OutboxRow): OutboxRow {
  const { id, n, text, state, at, exported } = row;
  return { id, n, text, state, at, ...(exported ? { exported } : {}) };
}
