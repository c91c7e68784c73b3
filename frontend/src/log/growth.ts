/** Tagged plants that are measured again and again: what was measured of which, and when. */
import type { Entry } from "./entry";
import { standing } from "./timeline";

/** Counts of these are whole. */
export const COUNTS = ["flushes", "leaves", "leaf_pairs", "nodes"] as const;
export const MEASURES = ["height_cm", "collar_mm", ...COUNTS] as const;
export type Measure = (typeof MEASURES)[number];

/** A plant that says nothing was missing or dead: it is kept, and was not measured. */
export type Plant = Readonly<{ tag: string } & Partial<Record<Measure, number | null>>>;

export interface Measuring {
  readonly at: string;
  readonly plants: readonly Plant[];
}

/** Every measuring of a batch that stands, oldest first. */
export function measurings(id: string, entries: Iterable<Entry>): Measuring[] {
  const about = [...entries].filter((entry) => entry.about.includes(id));
  return standing(about).entries.flatMap((one) =>
    one.kind === "other" && one.named === "measured" && !one.unread
      ? [{ at: one.occurredAt, plants: one.body["plants"] as readonly Plant[] }]
      : [],
  );
}

/** Every tag that was given, in the order in which the plants were first measured. */
function given(before: readonly Measuring[]): string[] {
  return [...new Set(before.flatMap(({ plants }) => plants.map(({ tag }) => tag)))];
}

/** Whether a plant was missing or dead when it was last told of. */
function isGivenUp(before: readonly Measuring[], tag: string): boolean {
  const last = before.flatMap(({ plants }) => plants).findLast((one) => one.tag === tag);
  return last !== undefined && MEASURES.every((one) => (last[one] ?? null) === null);
}

/**
 * The plants that are asked for again. Those given up are not, but for `seen` ones: what is typed of
 * them stands, whatever another phone sends in the meantime.
 */
export function tagsOf(before: readonly Measuring[], seen: readonly string[] = []): string[] {
  return given(before).filter((tag) => !isGivenUp(before, tag) || seen.includes(tag));
}

/** The next tag: no number is given twice, even where its plant is gone. */
export function nextTag(before: readonly Measuring[], tags: readonly string[]): string {
  const numbers = [...given(before), ...tags].filter((tag) => /^\d+$/.test(tag)).map(Number);
  return String(Math.max(0, ...numbers) + 1);
}

/** What a plant measured when it was last measured; null where it never was. */
export function lastOf(before: readonly Measuring[], tag: string, measure: Measure): number | null {
  const told = before.flatMap(({ plants }) =>
    plants.flatMap((one) => (one.tag === tag ? [one[measure] ?? null] : [])),
  );
  return told.findLast((one) => one !== null) ?? null;
}

export interface Figures {
  readonly at: string;
  readonly mean: number;
  readonly each: readonly number[];
}

/** One measure over time: each plant's figure and their mean, where any was measured. */
export function courseOf(before: readonly Measuring[], measure: Measure): Figures[] {
  return before.flatMap(({ at, plants }) => {
    const each = plants.flatMap((one) => one[measure] ?? []);
    if (each.length === 0) return [];
    return [{ at, each, mean: each.reduce((sum, one) => sum + one, 0) / each.length }];
  });
}
