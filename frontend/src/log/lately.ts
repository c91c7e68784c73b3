/**
 * What a round asks of a subject: who looked or read last, what was suspected, until when nobody goes in.
 *
 * The office knows it too and says it with its forecasts; a phone must know it of its own records
 * before they were sent.
 */
import type { Entry, EntryId, Instant } from "./entry";
import { standing } from "./timeline";

export interface LastLook {
  readonly at: Instant;
  readonly by: string;
  readonly answer: string;
  readonly plants: number | null;
  readonly minutes: number | null;
  readonly why: string | null;
  readonly checklist: string | null;
}

export interface LastTrap {
  readonly at: Instant;
  readonly by: string;
  readonly answer: string;
  readonly catches: readonly { readonly pest: string; readonly count: number }[];
  readonly replaced: boolean;
  readonly why: string | null;
}

/** A find that somebody ever called a suspicion: only the office, or the grower there, ends its hold. */
export interface Suspicion {
  readonly find: EntryId;
  readonly at: Instant;
  readonly by: string;
  readonly about: readonly string[];
}

export interface Lately {
  readonly look: LastLook | null;
  /** When somebody last really looked; a blank is no look. */
  readonly lookedAt: Instant | null;
  readonly trap: LastTrap | null;
  readonly readAt: Instant | null;
  readonly replacedAt: Instant | null;
  /** Due checks that a standing record says are not done, and why. */
  readonly skipped: readonly string[];
  readonly suspicions: readonly Suspicion[];
  readonly treatments: readonly Treatment[];
}

/** Nobody goes in before `until`; null where nobody wrote when that is. */
export interface Treatment {
  readonly endedAt: Instant;
  readonly until: Instant | null;
}

type Growing = { -readonly [K in keyof Lately]: Lately[K] };

const ASKED: ReadonlySet<string> = new Set(
  "looked trapped skipped treated settled found".split(" "),
);
const SETTLES_REENTRY = "reentry_missing:";

export function lately(entries: readonly Entry[]): Lately {
  // Corrections belong to their lines, whatever those are about.
  const asked = entries.filter(({ kind, corrects }) => corrects !== null || ASKED.has(kind));
  const { entries: facts, lines } = standing(asked);
  const found: Growing = {
    look: null,
    lookedAt: null,
    trap: null,
    readAt: null,
    replacedAt: null,
    skipped: [],
    suspicions: suspicions(asked, lines),
    treatments: treatments(facts),
  };
  for (const entry of facts) note(found, entry);
  return found;
}

function note(found: Growing, entry: Entry): void {
  switch (entry.kind) {
    case "looked":
      looked(found, entry);
      break;
    case "trapped":
      trapped(found, entry);
      break;
    case "skipped":
      found.skipped = [...found.skipped, entry.body.check];
      break;
    default:
  }
}

function looked(found: Growing, { occurredAt: at, author: by, body }: Entry & { kind: "looked" }) {
  const { answer, plants = null, minutes = null, why = null, checklist = null } = body;
  found.look = { at, by, answer, plants, minutes, why, checklist };
  if (answer !== "not_looked") found.lookedAt = at;
}

function trapped(
  found: Growing,
  { occurredAt: at, author: by, body }: Entry & { kind: "trapped" },
) {
  const { answer, why = null } = body;
  const replaced = body.replaced === true;
  found.trap = { at, by, answer, catches: body.catches ?? [], replaced, why };
  if (answer === "read") found.readAt = at;
  if (replaced) found.replacedAt = at;
}

/** One without an hour bars nobody any more once somebody settled that. */
function treatments(facts: readonly Entry[]): Treatment[] {
  const settled = new Set(facts.map((one) => (one.kind === "settled" ? one.body.doubt : "")));
  return facts.flatMap((one) => {
    if (one.kind !== "treated") return [];
    const until = (one.body.reentry_until ?? null) as Instant | null;
    if (until === null && settled.has(SETTLES_REENTRY + one.id)) return [];
    return [{ endedAt: one.body.ended_at as Instant, until }];
  });
}

/** Whatever was corrected or taken back since; a mis-tap is the grower's to lift. */
function suspicions(
  entries: readonly Entry[],
  lines: ReadonlyMap<EntryId, EntryId>,
): readonly Suspicion[] {
  const found = new Map<EntryId, Suspicion>();
  for (const entry of entries) {
    if (entry.kind !== "found" || !entry.body.suspicion) continue;
    const find = lines.get(entry.id) ?? entry.id;
    const { occurredAt: at, author: by, about } = entry;
    const before = found.get(find);
    if (!before || at < before.at) found.set(find, { find, at, by, about });
  }
  return [...found.values()];
}
