/**
 * After wrong PINs on a tile it asks for none for a while. Nobody is kept from recording:
 * without a PIN a record says that nobody confirmed who wrote it, and the grower does so later.
 *
 * Kept per tile on this phone, through a reload; in its own time, so it works without any signal.
 */
import { choose, chosen } from "../../shelf/settings";

/** So many wrong ones in a row shut a tile; each one more, once it asks again, shuts it anew. */
export const TRIES = 5;
const FIRST_MS = 2 * 60_000;
/** Each time twice as long, up to this. */
export const LONGEST_MS = 60 * 60_000;

interface Tries {
  readonly n: number;
  readonly until: number | null;
}

/** Until when a tile asks for no PIN; null where it asks. */
export function openedAt(person: string, now: number): number | null {
  const until = kept()[person]?.until ?? null;
  // A clock that was set back shuts nothing for longer than it ever could have been.
  return until !== null && until > now && until - now <= LONGEST_MS ? until : null;
}

/** A wrong PIN was typed; says until when the tile asks for none now, or null. */
export function wrong(person: string, now: number): number | null {
  const all = kept();
  const n = (all[person]?.n ?? 0) + 1;
  const times = n - TRIES;
  const until = times < 0 ? null : now + Math.min(FIRST_MS * 2 ** times, LONGEST_MS);
  choose("pins", JSON.stringify({ ...all, [person]: { n, until } }));
  return until;
}

/** The right PIN was typed: it begins anew. */
export function right(person: string): void {
  const rest = Object.entries(kept()).filter(([one]) => one !== person);
  choose("pins", JSON.stringify(Object.fromEntries(rest)));
}

function kept(): Readonly<Record<string, Tries>> {
  try {
    const found: unknown = JSON.parse(chosen("pins") ?? "{}");
    return typeof found === "object" && found !== null ? (found as Record<string, Tries>) : {};
  } catch {
    return {};
  }
}
