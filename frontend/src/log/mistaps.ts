/**
 * The word of the grower that a suspicion was a mis-tap: it alone answers one from within.
 *
 * Twin of `nursery/domain/mistaps.py`.
 */
import type { Entry } from "./entry";

const SUSPICION = "suspicion:";
// Named one by one, so that Python takes the same signs for none.
const NO_SIGN = /^[ \t\r\n\u00a0]*$/;

/** The find that a record calls a mis-tap, by the id that it names; null of any other record. */
export function findOf(entry: Entry): string | null {
  if (entry.kind !== "settled" || !entry.body.doubt.startsWith(SUSPICION)) return null;
  return entry.body.doubt.slice(SUSPICION.length);
}

/** The id of the doubt that a find is, which a mis-tap's lift names. */
export function doubtOf(find: string): string {
  return SUSPICION + find;
}

/** What somebody else says of a mis-tap than a grower, with a PIN, a reason, on their own tile. */
export function isAnothersWord(entry: Entry, growers: ReadonlySet<string>): boolean {
  if (entry.kind !== "settled" || findOf(entry) === null) return false;
  return NO_SIGN.test(entry.body.reason) || !entry.confirmed || !growers.has(entry.author);
}
