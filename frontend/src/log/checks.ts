/** Which checks that the office shipped are answered by entries on this phone. */
import type { Entry } from "./entry";
import { standing } from "./timeline";

/** Ids of the due checks that a standing entry names: done, not done with its reason, or unreadable. */
export function answered(entries: Iterable<Entry>): Set<string> {
  const named = new Set<string>();
  for (const entry of standing(entries).entries) {
    if (entry.kind === "looked" || entry.kind === "trapped" || entry.kind === "skipped") {
      if (entry.body.check) named.add(entry.body.check);
    }
  }
  return named;
}
