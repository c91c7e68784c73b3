/**
 * Toughening: what to do with plants today, on what was counted and what is forecast.
 *
 * Twin of `nursery/domain/toughening/advice.py` (rules U-1 to U-5); `tests/vectors/toughening.json`
 * keeps the two alike. Program, sky and what was seen before come from the office; what is counted
 * on this phone is added, so that "step back" is said where the leaves are.
 */

import { apart, later } from "./days";
import type { Entry } from "./entry";
import { standing } from "./timeline";

export type Doing = "forward" | "stay" | "back" | "freeze" | "done";

export interface Step {
  readonly id: string;
  readonly shade_percent: number;
  readonly days: number;
  readonly sun_hours: number | null;
  readonly water_every_days: number | null;
  readonly wind: string;
  readonly feed: string | null;
  readonly checks: readonly string[];
}

export interface Limits {
  readonly scorch_share: number;
  readonly wilt_share: number;
  readonly heat_c: number;
  readonly heat_above_mean_c: number;
  readonly wind_kmh: number;
  readonly cold_c: number;
  readonly tropical: boolean;
}

/** What was counted since the step began; null where nobody looked. */
export interface Seen {
  readonly scorched: number | null;
  readonly scorched_of: number;
  readonly wilted: number | null;
  readonly wilted_of: number;
  readonly checks: readonly string[];
}

export interface Sky {
  readonly highs_c: readonly number[];
  readonly lows_c: readonly number[];
  readonly wind_kmh: readonly number[];
  readonly mean_high_c: number | null;
  readonly water_failed: boolean;
}

export interface Program {
  readonly steps: readonly Step[];
  readonly limits: Limits;
}

export interface Reason {
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** `step` is the step to be on, by its place; `on` the first day on which the next may come. */
export interface Advice {
  readonly doing: Doing;
  readonly step: number;
  readonly reasons: readonly Reason[];
  readonly on: string | null;
}

export interface Standing {
  readonly at: number;
  readonly since: string;
}

/** What to do with plants that stand on a step since a day: damage before weather, then days. */
export function advise(
  program: Program,
  { at, since }: Standing,
  today: string,
  seen: Seen,
  sky: Sky,
): Advice {
  const step = program.steps[at];
  if (step === undefined) throw new RangeError(`no step ${at}`);
  const hurt = hurtOf(seen, program.limits);
  if (hurt.length > 0) return { doing: "back", step: Math.max(0, at - 1), reasons: hurt, on: null };
  const stopped = stoppedBy(sky, program.limits);
  if (stopped.length > 0) return { doing: "freeze", step: at, reasons: stopped, on: null };
  const unseen = unseenOf(step, seen);
  if (at === program.steps.length - 1)
    return { doing: "done", step: at, reasons: unseen, on: null };
  const earliest = later(since, step.days);
  const waits = [...earlyOf(earliest, today), ...unseen];
  if (waits.length > 0) return { doing: "stay", step: at, reasons: waits, on: earliest };
  return { doing: "forward", step: at + 1, reasons: [], on: today };
}

/** A share in whole percent, halves up, as people round. */
export function percent(count: number, of: number): number {
  return Math.floor((200 * count + of) / (2 * of));
}

function hurtOf(seen: Seen, limits: Limits): Reason[] {
  const counted = [
    {
      code: "toughening_scorched",
      n: seen.scorched,
      of: seen.scorched_of,
      level: limits.scorch_share,
    },
    { code: "toughening_wilted", n: seen.wilted, of: seen.wilted_of, level: limits.wilt_share },
  ];
  return counted.flatMap(({ code, n, of, level }) =>
    n !== null && of > 0 && n > level * of
      ? [{ code, params: { n, of, percent: percent(n, of), most: Math.round(100 * level) } }]
      : [],
  );
}

function stoppedBy(sky: Sky, limits: Limits): Reason[] {
  return [...heatOf(sky, limits), ...windOf(sky, limits), ...coldOf(sky, limits)].concat(
    sky.water_failed ? [{ code: "toughening_water_failed", params: {} }] : [],
  );
}

function heatOf({ highs_c: highs, mean_high_c: mean }: Sky, limits: Limits): Reason[] {
  if (highs.length === 0) return [];
  const high = Math.max(...highs);
  if (high >= limits.heat_c) {
    const n = highs.filter((one) => one >= limits.heat_c).length;
    return [{ code: "toughening_heat", params: { high, n, most: limits.heat_c } }];
  }
  if (mean === null || high - mean < limits.heat_above_mean_c) return [];
  const over = Math.round((high - mean) * 10) / 10;
  return [{ code: "toughening_sudden_heat", params: { high, over } }];
}

function windOf({ wind_kmh: winds }: Sky, limits: Limits): Reason[] {
  const wind = Math.max(...winds);
  return winds.length > 0 && wind >= limits.wind_kmh
    ? [{ code: "toughening_wind", params: { wind, most: limits.wind_kmh } }]
    : [];
}

function coldOf({ lows_c: lows }: Sky, limits: Limits): Reason[] {
  const low = Math.min(...lows);
  return limits.tropical && lows.length > 0 && low < limits.cold_c
    ? [{ code: "toughening_cold", params: { low, least: limits.cold_c } }]
    : [];
}

function earlyOf(earliest: string, today: string): Reason[] {
  const days = apart(today, earliest);
  return days > 0 ? [{ code: "toughening_early", params: { on: earliest, days } }] : [];
}

function unseenOf(step: Step, seen: Seen): Reason[] {
  const checks = step.checks.filter((check) => !seen.checks.includes(check));
  return checks.length > 0
    ? [{ code: "toughening_unchecked", params: { n: checks.length, checks } }]
    : [];
}

/** What the office told of a batch; without a place in the program it has not begun. */
export interface Told {
  readonly program: string;
  readonly at: number | null;
  readonly since?: string;
  readonly seen?: Seen;
  readonly sky?: Sky;
}

export const CLEAR: Sky = {
  highs_c: [],
  lows_c: [],
  wind_kmh: [],
  mean_high_c: null,
  water_failed: false,
};

export const NOTHING_SEEN: Seen = {
  scorched: null,
  scorched_of: 0,
  wilted: null,
  wilted_of: 0,
  checks: [],
};

interface Stepped {
  readonly step: string;
  readonly shade_percent?: number | null;
  readonly sun_hours?: number | null;
  readonly scorched?: number | null;
  readonly of?: number | null;
}

/** What was written on this phone about a batch, and about where it stands. */
export interface Typed {
  readonly batch: string;
  readonly entries: Iterable<Entry>;
  /** When the office worked out what it told. */
  readonly after: string;
  readonly dayOf: (instant: string) => string;
}

/** The same with what was written since the office worked it out (rules U-5, U-8 and U-9). */
export function onward(
  told: Told,
  program: Program,
  { batch, entries, after, dayOf }: Typed,
): Told {
  const since = standing(entries).entries.filter(({ occurredAt }) => occurredAt > after);
  return since.reduce<Told>((now, entry) => {
    if (entry.kind === "other" && entry.named === "watered") return watered(now, entry.body);
    if (!entry.about.includes(batch)) return now;
    if (entry.kind === "stepped") {
      return stepped(now, program, entry.body as Stepped, dayOf(entry.occurredAt));
    }
    if (entry.kind === "looked") {
      return entry.body.answer === "not_looked" ? now : seeing(now, "pests", {});
    }
    return entry.kind === "other" ? checked(now, entry.named, entry.body) : now;
  }, told);
}

function stepped(now: Told, program: Program, body: Stepped, day: string): Told {
  const at = placeOf(program, body, now.at);
  const here = at === now.at && body.step !== "back" ? now : beginning(now, at, day);
  if (body.step !== "stay" || typeof body.scorched !== "number" || !body.of) return here;
  return seeing(here, "scorch", { scorched: body.scorched, scorched_of: body.of });
}

function beginning(now: Told, at: number, since: string): Told {
  return { ...now, at, since, seen: NOTHING_SEEN };
}

function watered(now: Told, body: object): Told {
  const failed = (body as { failed?: boolean | null }).failed === true;
  return { ...now, sky: { ...(now.sky ?? CLEAR), water_failed: failed } };
}

function checked(now: Told, kind: string, body: object): Told {
  if (kind === "plugged") return seeing(now, "roots", {});
  if (kind !== "wilted") return now;
  const { wilted, of } = body as { wilted: number; of: number };
  return seeing(now, "wilt", { wilted, wilted_of: of });
}

function seeing(now: Told, check: string, more: Partial<Seen>): Told {
  const seen = now.seen ?? NOTHING_SEEN;
  return { ...now, seen: { ...seen, ...more, checks: [...new Set([...seen.checks, check])] } };
}

/** The step that a record leads to: by its shade and hours, and without a shade by its way. */
function placeOf({ steps }: Program, body: Stepped, before: number | null): number {
  const shade = body.shade_percent ?? null;
  if (shade === null) {
    if (before === null) return 0;
    const way = body.step === "forward" ? 1 : body.step === "back" ? -1 : 0;
    return Math.min(Math.max(0, before + way), steps.length - 1);
  }
  const hours = body.sun_hours ?? null;
  const exact = steps.findIndex((step) => step.shade_percent === shade && step.sun_hours === hours);
  const darker = steps.filter((step) => step.shade_percent >= shade).length;
  return exact >= 0 ? exact : Math.max(0, darker - 1);
}
