/**
 * How the plants of a batch were graded: A to plant, B to wait, C culled.
 *
 * Twin of `nursery/domain/grades.py` (rules L-14, V-7); `tests/vectors/grades.json` keeps the two
 * alike.
 */
import type { Entry } from "./entry";
import { standing } from "./timeline";

export interface Grades {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly at: string;
  readonly by: string;
  readonly entry: string;
}

type Body = Readonly<Record<"a" | "b" | "c", number>>;

/** The last grading, as many of each grade as still live: C is the first to be fewer, then B. */
export function gradesOf(
  id: string,
  entries: Iterable<Entry>,
  alive: number | null,
): Grades | null {
  const about = [...entries].filter((entry) => entry.about.includes(id));
  const last = standing(about)
    .entries.filter((one) => one.kind === "other" && one.named === "graded" && !one.unread)
    .at(-1);
  if (!last) return null;
  const body = last.body as object as Body;
  const left = alive ?? 0;
  const a = Math.min(body.a, left);
  const b = Math.min(body.b, left - a);
  const c = Math.min(body.c, left - a - b);
  return { a, b, c, at: last.occurredAt, by: last.author, entry: last.id };
}
