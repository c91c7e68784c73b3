/**
 * Courses of treatments that the authority ordered: how many are done, and from which day the next
 * one counts.
 *
 * Twin of `Course` in `nursery/domain/history.py` (rule Q-5), of what this phone has read of the
 * plants; the office's word on the clock stands above it.
 */
import { apart, later } from "./days";
import { byText, type Entry } from "./entry";
import { standing } from "./timeline";

export interface Course {
  readonly reference: string;
  /** How many the order asks for, so many days apart. */
  readonly asked: number;
  readonly intervalDays: number;
  /** The days on which those that count ended. */
  readonly done: readonly string[];
  /** The first day on which one more counts; null where any day does. */
  readonly nextFrom: string | null;
  /** Days for which one more is planned, and which have not come to be. */
  readonly booked: readonly string[];
}

interface Ordered {
  readonly act: string;
  readonly reference: string;
  readonly times?: number | null;
  readonly interval_days?: number | null;
  readonly after_treatment?: number | null;
}

interface Treated {
  readonly started_at: string;
  readonly ended_at: string;
  readonly order?: string | null;
}

interface Booked {
  readonly on: string;
  readonly order?: string | null;
}

type DayOf = (instant: string) => string;

/** Courses of all orders about the plants or their place, in the order in which they were ordered. */
export function coursesOf(entries: Iterable<Entry>, dayOf: DayOf): Course[] {
  const facts = standing(entries).entries;
  const found = new Map<string, Course>();
  for (const { kind, body } of facts) if (kind === "ordered") ordered(found, body);
  const treated = facts.flatMap(({ kind, id, body }) =>
    kind === "treated" ? [{ id, ...(body as unknown as Treated) }] : [],
  );
  treated.sort((a, b) => byText(a.started_at + a.id, b.started_at + b.id));
  for (const one of treated) {
    const course = found.get(one.order ?? "");
    if (course) found.set(course.reference, andOn(course, one, dayOf));
  }
  return [...found.values()].map((course) => ({ ...course, booked: booked(course, facts) }));
}

function ordered(found: Map<string, Course>, body: Ordered): void {
  const { act, reference, times, interval_days: interval, after_treatment: after } = body;
  if (act !== "treat" && !after) return;
  const before = found.get(reference);
  found.set(reference, {
    reference,
    asked: Math.max(before?.asked ?? 0, [times, after].find((n) => n) ?? 1),
    intervalDays: Math.max(before?.intervalDays ?? 0, interval ?? 0),
    done: [],
    nextFrom: null,
    booked: [],
  });
}

/** One that came too soon counts for nothing. */
function andOn(course: Course, { started_at: began, ended_at: ended }: Treated, dayOf: DayOf) {
  if (course.nextFrom !== null && dayOf(began) < course.nextFrom) return course;
  const done = [...course.done, dayOf(ended)];
  return { ...course, done, nextFrom: later(dayOf(ended), course.intervalDays) };
}

function booked({ reference, done }: Course, facts: readonly Entry[]): string[] {
  const last = done.at(-1) ?? "";
  const days = facts.flatMap((entry) => {
    if (entry.kind !== "other" || entry.named !== "booked" || entry.unread) return [];
    const { on, order } = entry.body as unknown as Booked;
    return order === reference && on > last ? [on] : [];
  });
  return [...new Set(days)].sort();
}

/** Whether a course still asks for one. */
export function isOpen({ asked, done }: Course): boolean {
  return done.length < asked;
}

/** What speaks against one more on a day: it would count for nothing. */
export interface Soon {
  /** The number of the one that is meant. */
  readonly number: number;
  readonly on: string;
  readonly days: number;
  readonly needed: number;
  readonly plan: string;
}

export function tooSoon({ done, nextFrom, intervalDays }: Course, on: string): Soon | null {
  const last = done.at(-1);
  if (last === undefined || nextFrom === null || on >= nextFrom) return null;
  const number = done.length + 1;
  return { number, on, days: apart(last, on), needed: intervalDays, plan: nextFrom };
}
