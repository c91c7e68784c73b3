/** Which records can be written once more in the form that they were made with. */
import type { Reading } from "../../log/history";
import { figuresOf } from "./figures";

const FORMS: ReadonlySet<string> = new Set(["counted", "lost", "moved", "relabelled", "looked"]);

/** Divisions name several batches: they are taken back whole and written once more. */
const WHOLE: ReadonlySet<string> = new Set(["split", "pricked", "joined", "mixed", "received"]);

export function hasForm({ kind }: Pick<Reading, "kind">): boolean {
  return FORMS.has(kind);
}

export function canAgain(record: Pick<Reading, "kind" | "body" | "unread">): boolean {
  if (record.unread || WHOLE.has(record.kind)) return false;
  return hasForm(record) || figuresOf(record.body).length > 0;
}
