/** How the field stands, in figures and lines that can be drawn and said. */
import type { Series, Stroke } from "../../parts/chart";
import type { Block, Counted, Curve, Grouped, Traps } from "./shapes";

/** Below that, groups are taken to differ. (Common practice, no source.) */
const DIFFER = 0.05;
const STROKES: readonly Stroke[] = ["heavy", "dashed", "dotted", "plain", "fine"];
/** More lines than that cannot be told apart on one drawing; the table has them all. */
export const MOST_DRAWN = STROKES.length;

export const percent = (share: number): number => Math.round(share * 1000) / 10;

export function shareOf({ planted, alive }: Counted): number | null {
  return planted === 0 ? null : percent(alive / planted);
}

/** The curve from planting on, as steps, as far as plants were looked at. */
export function stepsOf({ points, until }: Curve): { x: number; y: number }[] {
  if (until === null) return [];
  const steps = points.map(([day, share]) => ({ x: day, y: percent(share) }));
  const end = steps.at(-1)?.y ?? 100;
  return [{ x: 0, y: 100 }, ...steps, ...(steps.at(-1)?.x === until ? [] : [{ x: until, y: end }])];
}

/** The interval around a curve; it ends where nobody is left. */
export function bandOf({ points, until }: Curve) {
  if (until === null || points.length === 0) return [];
  const told = points.flatMap(([day, , low, high]) =>
    low === null || high === null ? [] : [{ x: day, low: percent(low), high: percent(high) }],
  );
  const end = told.at(-1);
  const begins = told.slice(0, 1).map(({ x }) => ({ x, low: 100, high: 100 }));
  const held = told.flatMap((one, i) => {
    const next = told[i + 1];
    return next ? [one, { ...one, x: next.x }] : [one];
  });
  const goesOn = end && end.x < until && points.length === told.length;
  return [
    { x: 0, low: 100, high: 100 },
    ...begins,
    ...held,
    ...(goesOn ? [{ ...end, x: until }] : []),
  ];
}

export function linesOf(grouped: Grouped, nameOf: (key: string) => string): Series[] {
  return grouped.items.slice(0, MOST_DRAWN).map(({ key, curve }, i) => ({
    draw: "steps",
    name: nameOf(key),
    stroke: STROKES[i] ?? "plain",
    points: stepsOf(curve),
  }));
}

/** The last day of an axis: a little beyond the last look, so that its step is seen. */
export function lastDay(curve: Curve): number {
  return Math.max(30, Math.ceil(((curve.until ?? 0) * 1.05) / 10) * 10);
}

export interface Told {
  readonly key: "alike" | "differ" | "cannot";
  /** How often chance alone would tell groups as far apart, in a hundred. */
  readonly n: number;
}

/** What the comparison of groups says in plain words. */
export function comparison({ test, items }: Grouped): Told | null {
  if (items.length < 2) return null;
  if (test === null) return { key: "cannot", n: 0 };
  const n = Math.max(1, Math.round(test.p * 100));
  return { key: test.p < DIFFER ? "differ" : "alike", n };
}

/** Rows that the count of a block asks for and that are not done. */
export function undone({ rows }: Block): readonly number[] {
  return rows.filter(({ chosen, open }) => chosen && open > 0).map(({ number }) => number);
}

/** Whether the figure of a block is an estimate from some of its rows. */
export function isSampled({ rows }: Block): boolean {
  return rows.some(({ open, planted }) => planted > 0 && open > 0);
}

/** Positions that follow each other are told together: 61 to 65, 67. */
export function spans(names: readonly string[]): readonly (readonly [string, string])[] {
  const found: [string, string][] = [];
  for (const name of names) {
    const last = found.at(-1);
    if (last && Number(last[1]) + 1 === Number(name)) last[1] = name;
    else found.push([name, name]);
  }
  return found;
}

/** Captures per trap and day are told with two decimals. */
export const hundredth = (index: number): number => Math.round(index * 100) / 100;

/**
 * What the traps caught of a pest on each day on which one was read: a day without a catch is a
 * zero, one on which no trap could be read a gap.
 */
export function catchesOf({ days }: Traps, pest: string): { x: string; y: number | null }[] {
  return days.map(({ on, trap_days, index }) => ({
    x: on,
    y: trap_days === 0 ? null : hundredth(index[pest] ?? 0),
  }));
}
