/** For how long a room may have stood open, as the office works it out. */
import type { FileIncident, ReleaseFile } from "../../net/file";
import type { Say } from "../../words/forms";

const MINUTE_MS = 60_000;

/** Where nobody knows when it was whole for the last time, nobody can tell. */
export function stoodOpen({ breach }: FileIncident, say: Say): string | null {
  if (breach === null) return null;
  if (breach.mended_at === null) return say("file.not_mended");
  if (breach.minutes === null) return say("mend.unknown");
  return say("mend.was_open", { ms: breach.minutes * MINUTE_MS });
}

/** The same for the record of a breach; null of every other record. */
export function stoodOpenAfter(entry: string, { incidents }: ReleaseFile, say: Say): string | null {
  const found = incidents.find(({ breach }) => breach?.entry === entry);
  return found ? stoodOpen(found, say) : null;
}
