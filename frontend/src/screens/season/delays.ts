/** What a delay costs: weeks that mean the same told together, and one of them against none. */
import type { Code, Delay } from "./shapes";

/** So many weeks to so many, all of which cost the same. */
export interface Stretch {
  readonly from: number;
  /** Null where it goes on: nothing later was worked out. */
  readonly to: number | null;
  readonly code: Code;
  readonly seasons: number;
  /** The first of them, and the last. */
  readonly first: Delay;
  readonly last: Delay;
}

/** Stretches in order. Weeks mean the same while code, seasons and the planting weeks are the same. */
export function stretches(delays: readonly Delay[]): Stretch[] {
  const found: Delay[][] = [];
  for (const delay of [...delays].sort((a, b) => a.weeks - b.weeks)) {
    const run = found.at(-1);
    if (run?.[0] && meaning(run[0]) === meaning(delay)) run.push(delay);
    else found.push([delay]);
  }
  return found.flatMap((run, i) => {
    const [first, last] = [run[0], run.at(-1)];
    // No delay at all is no line of its own where it costs nothing.
    if (!first || !last || (last.weeks === 0 && last.code === "nothing")) return [];
    const to = i === found.length - 1 ? null : last.weeks;
    const { code, seasons } = first;
    return [{ from: first.weeks, to, code, seasons: seasons ?? 0, first, last }];
  });
}

function meaning({ code, seasons }: Delay): string {
  return code === "season" ? `${code} ${seasons}` : code;
}

/** The same facts without and with a slip of so many weeks; null where it was not worked out. */
export interface Slip {
  readonly weeks: number;
  readonly before: Delay;
  readonly after: Delay;
}

export function slip(delays: readonly Delay[], weeks: number): Slip | null {
  const before = delays.find((one) => one.weeks === 0);
  const after = delays.find((one) => one.weeks === weeks);
  return before && after ? { weeks, before, after } : null;
}

/** The most weeks that were worked out. */
export function furthest(delays: readonly Delay[]): number {
  return delays.reduce((most, { weeks }) => Math.max(most, weeks), 0);
}

/** How many seasons more the slip costs than is lost without it. */
export function seasonsLost({ before, after }: Slip): number {
  return Math.max(0, (after.seasons ?? 0) - (before.seasons ?? 0));
}

/** What the slip costs in money beyond what is spent without it; null where nobody typed figures. */
export function money({ before, after }: Slip): number | null {
  return after.cost === null ? null : after.cost.total - (before.cost?.total ?? 0);
}
