/** The odds of days of the year, laid over the days of an axis. */
import type { Dot, Reach } from "../../parts/chart";
import type { Span } from "../../parts/bed";
import type { DayOdds, Odds } from "./shapes";

const DAY_MS = 86_400_000;

/** Each day from one to another, ISO. */
export function daysOf({ from, to }: Span): string[] {
  const first = Date.parse(from);
  const many = Math.max(0, Math.round((Date.parse(to) - first) / DAY_MS) + 1);
  return Array.from({ length: many }, (_, i) => iso(first + i * DAY_MS));
}

export function dayAfter(day: string, days: number): string {
  return iso(Date.parse(day) + days * DAY_MS);
}

/** What is known of planting on a day. */
export function oddsOn(odds: Odds, day: string): DayOdds | null {
  return odds.days.find((one) => one.day === day.slice(5)) ?? null;
}

/** Of 100; null where it is not known. */
export function ofHundred(share: number | null): number | null {
  return share === null ? null : Math.round(share * 100);
}

/** The middle and the band over the days of an axis. */
export function laid(odds: Odds, span: Span): { line: Dot[]; band: Reach[] } {
  const known = new Map(odds.days.map((one) => [one.day, one]));
  const of = daysOf(span).map((x) => ({ x, one: known.get(x.slice(5)) }));
  return {
    line: of.map(({ x, one }) => ({ x, y: ofHundred(one?.score ?? null) })),
    band: of.map(({ x, one }) => ({
      x,
      low: ofHundred(one?.low ?? null),
      high: ofHundred(one?.high ?? null),
    })),
  };
}

/** The best day from one to another: the first of those with the highest odds. */
export function best(odds: Odds, span: Span): { day: string; score: number } | null {
  let found: { day: string; score: number } | null = null;
  for (const day of daysOf(span)) {
    const score = oddsOn(odds, day)?.score ?? null;
    if (score !== null && score > (found?.score ?? -1)) found = { day, score };
  }
  return found;
}

function iso(instant: number): string {
  return new Date(instant).toISOString().slice(0, 10);
}
