/** What the authority accepts, as it stands in its form, and the record that it makes. */
import type { Instant } from "../../log/entry";
import type { Draft } from "../../log/write";

/** Acts that it permits, a week without look-over, a person let in again, or something in words. */
export const WHATS = [
  ...(["potting", "pruning", "taking", "moving_inside", "moving"] as const),
  ...(["week", "person", "other"] as const),
] as const;
export type What = (typeof WHATS)[number];

export interface Accepting {
  reference: string;
  photos: string[];
  what: What | "";
  words: string;
  person: string;
  weekOf: string | null;
  otherWeek: boolean;
  /** Which batches, where a person said so. */
  about: string[] | null;
}

export const NOTHING_ACCEPTED: Accepting = {
  ...{ reference: "", photos: [], what: "", words: "", person: "", weekOf: null },
  ...{ otherWeek: false, about: null },
};

/** The longest name that a record takes. */
const MOST = 64;

export function isReady({ reference, what, words, person, weekOf }: Accepting): boolean {
  if (reference.trim() === "" || what === "") return false;
  if (what === "other") return words.trim() !== "";
  if (what === "person") return person !== "";
  return what !== "week" || weekOf !== null;
}

export function draftOf(
  form: Accepting,
  about: readonly string[],
  at: { occurredAt?: Instant },
): Draft {
  const { what, words, person, weekOf, photos, reference } = form;
  const body = {
    what: what === "other" ? words.trim().slice(0, MOST) : what,
    reference: reference.trim(),
    ...(photos[0] === undefined ? {} : { photo: photos[0] }),
    ...(what === "person" ? { person } : {}),
    ...(what === "week" ? { week_of: weekOf } : {}),
  };
  return { kind: "accepted", about, body, ...at };
}

interface Due {
  readonly kind: string;
  readonly subject: string;
  readonly answered_by: string | null;
  readonly skipped_by: string | null;
  readonly accepted_by: string | null;
  readonly due_by: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** Weeks without a look-over of these batches, over or skipped, the latest first. */
export function weeksOpen(
  checks: readonly Due[],
  batches: readonly string[],
  now: string,
): string[] {
  const weeks = checks
    .filter(
      (one) =>
        one.kind === "look_over" &&
        batches.includes(one.subject) &&
        one.answered_by === null &&
        one.accepted_by === null &&
        (one.due_by < now || one.skipped_by !== null),
    )
    .map(({ params }) => params["week_of"])
    .filter((week) => typeof week === "string");
  return [...new Set(weeks)].sort().reverse();
}
