/** What the outbox still holds, as a person reads it. */
import { history, type Line } from "../../log/history";
import type { OutboxRow } from "../../shelf/row";

export interface Waiting {
  readonly row: OutboxRow;
  readonly about: string;
  readonly line: Line | null;
}

/** The rows that wait to be sent or for a person, the oldest first. */
export function waiting(rows: readonly OutboxRow[]): Waiting[] {
  return rows.filter(({ state }) => state === "queued" || state === "rescue").map(shown);
}

/** What the office took in and put aside, or keeps as a raw text, until the grower has looked. */
export function aside(rows: readonly OutboxRow[]): Waiting[] {
  return rows
    .filter(({ outcome }) => outcome?.status === "set_aside" || outcome?.status === "kept_raw")
    .map(shown);
}

function shown(row: OutboxRow): Waiting {
  const raw = JSON.parse(row.text) as { about?: readonly string[] };
  return { row, about: raw.about?.[0] ?? "", line: history([raw])[0] ?? null };
}
