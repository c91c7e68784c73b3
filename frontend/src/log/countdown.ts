/**
 * What comes next, counted down by the phone alone from dates that the office shipped: no push and
 * no signal is needed for it.
 *
 * Which checks fall due is the office's word. Here is only which of them were answered since, and
 * what belongs together: checks of one kind, in one room, due at one moment.
 */
import { byText, type Instant } from "./entry";
import type { Lately } from "./lately";
import { isOpen, type Due } from "./round";

/** Something ahead, or overdue where `at` is past. `n` is how many checks it stands for. */
export interface Coming {
  readonly kind: string;
  /** The room, or what else it is about by name. */
  readonly about: string;
  readonly at: Instant;
  readonly n: number;
}

export interface Ahead {
  readonly now: Instant;
  readonly checks: readonly Due[];
  /** The room of a batch or a place. */
  readonly roomOf: (subject: string) => string;
  readonly latelyOf: (subject: string) => Lately;
  /** What has a date of its own: re-entry, permits, planting weeks. */
  readonly dates: readonly Omit<Coming, "n">[];
}

/** Kinds that a record of this phone answers; of others only the office knows. */
const OWN: ReadonlySet<string> = new Set(["look_over", "look_elsewhere", "trap", "replace_trap"]);

/** What is not done, the soonest first: of each kind in each room the next. */
export function coming(ahead: Ahead): Coming[] {
  const found = new Map<string, Coming>();
  for (const check of ahead.checks) {
    if (!waits(check, ahead)) continue;
    const about = ahead.roomOf(check.subject);
    const at = check.due_by as Instant;
    const key = `${check.kind}\n${about}\n${at}`;
    found.set(key, { kind: check.kind, about, at, n: (found.get(key)?.n ?? 0) + 1 });
  }
  const dated = ahead.dates.filter(({ at }) => at > ahead.now).map((one) => ({ ...one, n: 0 }));
  const sorted = [...found.values(), ...dated].sort(
    (a, b) => byText(a.at, b.at) || byText(a.kind, b.kind) || byText(a.about, b.about),
  );
  const told = new Set<string>();
  return sorted.filter(({ kind, about }) => {
    const key = `${kind}\n${about}`;
    return !told.has(key) && told.add(key);
  });
}

function waits(check: Due, { now, latelyOf }: Ahead): boolean {
  if (!OWN.has(check.kind)) return check.answered_by === null && check.skipped_by === null;
  // Of what may be done later on, a record of this phone answers nothing before it may.
  const at = now > check.opens_at ? now : (check.opens_at as Instant);
  return isOpen(check, latelyOf(check.subject), at);
}
