/** What the paper of an arrival says, as the people who unpacked it wrote it down. */
import type { Entry } from "../../log/entry";
import { standing } from "../../log/timeline";

/** The paper's figure for the whole consignment, or null where nobody wrote one. */
export function paperFigure(entries: Iterable<Entry>): number | null {
  let found: number | null = null;
  for (const entry of standing(entries).entries) {
    if (entry.kind !== "received") continue;
    const { stated } = entry.body as { readonly stated?: unknown };
    if (typeof stated === "number") found = stated;
  }
  return found;
}
