/**
 * Counts that do not agree. A count is an observation: two people apart have seen two things, and
 * both stay.
 *
 * Twin of the counts in `nursery/domain/account_steps.py` (rules L-5, L-6); `tests/vectors/apart.json`
 * keeps the two alike.
 */
import { lineOf, type Entry, type EntryId, type Instant } from "./entry";
import { batch } from "./fold";
import { msOf } from "./instant";
import { once, standing } from "./timeline";

export type Count = Entry & { readonly kind: "counted" };

/** Two counts of one batch whose makers did not see each other's. */
export interface Disagreement {
  /** The id of the doubt: its code and the two counts, as they stand. */
  readonly id: string;
  readonly first: Count;
  readonly second: Count;
}

/** Two counts further apart than this are two counts, not one told twice (sync protocol, section 4). */
const APART_MS = 4 * 3600_000;

/** A count among all that stands: `saw` is the fact that its maker had on screen. */
interface Told {
  readonly count: Count;
  readonly line: EntryId;
  readonly saw: string | null;
  /** What lived by the account right before it. */
  readonly before: () => number;
}

/** The disagreements that no recount and nobody's word has ended, oldest first. */
export function disagreements(id: string, entries: Iterable<Entry>): Disagreement[] {
  const { counts, facts } = told(id, entries);
  let last: Told | null = null;
  let open: Disagreement[] = [];
  for (const one of counts) {
    open = open.filter((doubt) => !ends(one, last, doubt));
    if (last && apart(last, one)) open.push(between(last, one));
    last = one;
  }
  const settled = new Set(facts.map((entry) => (entry.kind === "settled" ? entry.body.doubt : "")));
  return open.filter((doubt) => !settled.has(doubt.id));
}

/**
 * The count of somebody else, next to this one and not from before `since`, that it does not agree
 * with, whether its maker saw it or not. Null where there is none.
 */
export function against(
  id: string,
  entries: Iterable<Entry>,
  mine: string,
  since: Instant,
): Count | null {
  const { counts } = told(id, entries);
  const at = counts.findIndex(({ line }) => line === mine);
  const [before, own, after] = [counts[at - 1], counts[at], counts[at + 1]];
  if (!own) return null;
  const near = (other: Told | undefined): other is Told =>
    other !== undefined &&
    other.count.author !== own.count.author &&
    other.count.occurredAt >= since;
  if (near(before) && own.before() !== own.count.body.alive) return before.count;
  if (near(after) && after.before() !== after.count.body.alive) return after.count;
  return null;
}

/** The count that a person is shown: the last that was no estimate. */
export function lastCount(id: string, entries: Iterable<Entry>): Count | null {
  return told(id, entries).counts.at(-1)?.count ?? null;
}

function told(
  id: string,
  entries: Iterable<Entry>,
): { counts: readonly Told[]; facts: readonly Entry[] } {
  const about = [...entries].filter((entry) => entry.about.includes(id));
  const byId = once(about);
  const { entries: facts, lines } = standing(about);
  const counts = facts.flatMap((count, at): Told[] => {
    if (count.kind !== "counted" || count.body.method === "estimate") return [];
    const line = lineOf(count);
    const first = lines.has(line) ? undefined : byId.get(line);
    const saw = sawOf(first ?? count);
    return [
      {
        count,
        line,
        saw: saw === null ? null : (lines.get(saw as EntryId) ?? saw),
        before: () => batch(id, facts.slice(0, at)).ledger.alive,
      },
    ];
  });
  return { counts, facts };
}

/** What stood on its maker's screen: beside the shape of its kind, as the book keeps it. */
function sawOf({ body }: Entry): string | null {
  const { saw } = body as { readonly saw?: unknown };
  return typeof saw === "string" ? saw : null;
}

/** Its maker had the last count on screen, or one side of it. */
function ends(one: Told, last: Told | null, { first, second }: Disagreement): boolean {
  if (one.saw === null) return false;
  return one.saw === last?.line || one.saw === lineOf(first) || one.saw === lineOf(second);
}

/** What left between the two is no disagreement: the account has followed it. */
function apart(last: Told, one: Told): boolean {
  const unseen = one.saw !== last.line && last.saw !== one.line;
  const near = msOf(one.count.occurredAt) - msOf(last.count.occurredAt) <= APART_MS;
  return unseen && near && one.before() !== one.count.body.alive;
}

function between({ count: first }: Told, { count: second }: Told): Disagreement {
  return { id: `disagreement:${first.id}:${second.id}`, first, second };
}
