/** Figures read off instruments: which are asked for again, and where nobody read any. */
import { standing } from "./timeline";
import type { Entry, Instant } from "./entry";

/** What is read in a room. `pots` tells that it is read from so many pots. */
export interface Measure {
  readonly what: "air_c" | "air_low_c" | "air_high_c" | "humidity_percent" | "ec_ms_cm" | "ph";
  readonly least: number;
  readonly most: number;
  readonly pots: boolean;
}

/**
 * The lowest and the highest are those of a thermometer that keeps them since it was last read.
 * Figures outside are asked for again, never refused. (Common practice, no source.)
 */
export const MEASURES: readonly Measure[] = [
  { what: "air_c", least: -5, most: 55, pots: false },
  { what: "air_low_c", least: -5, most: 55, pots: false },
  { what: "air_high_c", least: -5, most: 55, pots: false },
  { what: "humidity_percent", least: 5, most: 100, pots: false },
  { what: "ec_ms_cm", least: 0, most: 8, pots: true },
  { what: "ph", least: 3, most: 10, pots: true },
];

export function isOdd(measure: Measure, value: number): boolean {
  return value < measure.least || value > measure.most;
}

/** Whether the lowest stands above the highest: of such a day nothing is known (rule C-9). */
export function isTurned(read: ReadonlyMap<string, number>): boolean {
  const [low, high] = [read.get("air_low_c"), read.get("air_high_c")];
  return low !== undefined && high !== undefined && low > high;
}

export interface Point {
  readonly at: Instant;
  readonly value: number;
}

/** Every figure of one kind, oldest first; of two at one instant the later by order. */
export function series(what: string, entries: Iterable<Entry>): Point[] {
  const found = new Map<Instant, number>();
  for (const entry of standing(entries).entries) {
    if (entry.kind !== "other" || entry.named !== "read" || entry.unread) continue;
    const readings = entry.body["readings"] as readonly { what: string; value: number }[];
    for (const one of readings) if (one.what === what) found.set(entry.occurredAt, one.value);
  }
  return [...found].map(([at, value]) => ({ at, value }));
}

const HOUR_MS = 3_600_000;
/** A pause is a gap from three times the usual one on, and no shorter. (Choice of the product.) */
const USUAL = 3;
const SHORTEST_GAP_MS = 6 * HOUR_MS;

/**
 * Runs of figures between which nobody read: a gap is a gap, not a nought. `ms` is the instant in
 * milliseconds, in order.
 */
export function runs<T extends { readonly ms: number }>(points: readonly T[]): T[][] {
  const pauses = points.map(({ ms }, i) => ms - (points[i - 1]?.ms ?? ms)).slice(1);
  const usual = [...pauses].sort((a, b) => a - b)[Math.floor(pauses.length / 2)] ?? 0;
  const most = Math.max(SHORTEST_GAP_MS, USUAL * usual);
  const found: T[][] = [];
  for (const point of points) {
    const run = found.at(-1);
    const last = run?.at(-1);
    if (run && last && point.ms - last.ms <= most) run.push(point);
    else found.push([point]);
  }
  return found;
}
