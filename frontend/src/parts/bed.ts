/** The life of a batch as one bed: its parts on a time axis, and where they are drawn. */
import { daysBetween } from "../words/forms";

export type Texture = "lost" | "quarantine" | "grow" | "toughen" | "field";

export interface BedPart {
  readonly what: Texture;
  /** ISO days. */
  readonly start: string;
  readonly end: string;
  /** Of toughening: since which day plants stand under how much shade. */
  readonly shades?: readonly Shade[];
}

export interface Shade {
  readonly on: string;
  readonly percent: number;
}

export interface Bed {
  readonly parts: readonly BedPart[];
  readonly release: string | null;
  readonly today: string;
  /** The planting weeks at its end, and those that it comes too late for. */
  readonly weeks?: Span | null;
  readonly missed?: readonly Span[];
  /** The day on which its pots are full of roots; null where nobody said how long that takes. */
  readonly full?: string | null;
}

/** What is set for it: the weeks in which it may be planted first, and those that are lost. */
export interface Ahead {
  readonly weeks: Span | null;
  readonly missed: readonly Span[];
}

export interface Life {
  readonly began_on: string;
  readonly opened_on: string | null;
  readonly released_on: string | null;
  readonly earliest_release: string | null;
  readonly stage: string | null;
  /** The steps into the sun, oldest first. */
  readonly shades?: readonly Shade[];
}

/** What is known of a life: nothing is drawn that the book does not say. */
export function bedOf(life: Life, today: string, ahead: Ahead = NOTHING_SET): Bed {
  const parts: BedPart[] = [];
  const end = life.earliest_release ?? life.released_on;
  if (life.opened_on !== null) {
    if (life.began_on < life.opened_on) {
      parts.push({ what: "lost", start: life.began_on, end: life.opened_on });
    }
    const until = life.released_on ?? life.earliest_release ?? today;
    parts.push({ what: "quarantine", start: life.opened_on, end: later(until, life.opened_on) });
  }
  const free = life.opened_on === null ? life.began_on : life.released_on;
  if (free !== null && free <= today) {
    parts.push(...outside(life, free, today));
  }
  return { parts: upTo(ahead.weeks, parts), release: end, today, ...ahead };
}

/** What grows on, then stands under the laths, from the day on which it may be outside. */
function outside({ stage, shades = [] }: Life, free: string, today: string): BedPart[] {
  if (stage !== "toughening")
    return [{ what: stage === "planted" ? "field" : "grow", start: free, end: today }];
  const [first] = shades;
  const began = first === undefined || first.on < free ? free : first.on;
  const grown: BedPart[] = began > free ? [{ what: "grow", start: free, end: began }] : [];
  return [...grown, { what: "toughen", start: began, end: today, shades }];
}

const NOTHING_SET: Ahead = { weeks: null, missed: [] };

/** A life drawn on from where it is known to the end of the planting weeks. */
function upTo(weeks: Span | null, parts: readonly BedPart[]): readonly BedPart[] {
  const last = parts.at(-1);
  if (weeks === null || last === undefined || last.what === "field") return parts;
  const from = later(weeks.from, last.end);
  if (from >= weeks.to) return parts;
  const field: BedPart = { what: "field", start: from, end: weeks.to };
  // What grows or toughens already goes on with it: one part, not two.
  if (last.what === "grow" || last.what === "toughen")
    return [...parts.slice(0, -1), { ...last, end: from }, field];
  const between: BedPart[] = last.end < from ? [{ what: "grow", start: last.end, end: from }] : [];
  return [...parts, ...between, field];
}

export interface Span {
  readonly from: string;
  readonly to: string;
}

/** The days that hold every bed, so that one plumb line runs through all of them. */
export function axis(beds: readonly Bed[]): Span | null {
  const days = beds.flatMap((bed) => [
    bed.today,
    ...(bed.full ? [bed.full] : []),
    ...bed.parts.flatMap(({ start, end }) => [start, end]),
  ]);
  if (days.length === 0) return null;
  return { from: days.reduce(earlier), to: days.reduce(later) };
}

/** Where a day lies on an axis of a width. */
export function place(day: string, span: Span, width: number): number {
  const whole = Math.max(1, daysBetween(span.from, span.to));
  return Math.round((daysBetween(span.from, day) / whole) * width * 10) / 10;
}

/** The first day of each month that an axis holds. */
export function monthsOf(span: Span): { on: string; month: number; year: number }[] {
  const months = [];
  let [year = 0, month = 0] = span.from.split("-").map(Number);
  for (;;) {
    const on = `${year}-${String(month).padStart(2, "0")}-01`;
    if (on > span.to) return months;
    if (on >= span.from) months.push({ on, month, year });
    month = (month % 12) + 1;
    if (month === 1) year += 1;
  }
}

function earlier(a: string, b: string): string {
  return a < b ? a : b;
}

function later(a: string, b: string): string {
  return a > b ? a : b;
}

/** Strokes of a texture in a box, as the path of an SVG. `fill` tells that it is filled. */
export function texture(
  what: Texture,
  box: Box,
  seed: string,
  shadeAt: ShadeAt = THINNING,
): { d: string; fill: boolean } {
  const d = what === "toughen" ? laths(box, shadeAt) : DRAW[what](box, seed);
  return { d, fill: what === "toughen" };
}

/** How much of a lath's room is wood, at a share of the way along its part. */
export type ShadeAt = (share: number) => number;
const THINNING: ShadeAt = (share) => 0.72 - 0.56 * share;

/** The laths of a part as its steps have it: never so thin that none is seen, nor a wall. */
export function shadeOf({ start, end, shades = [] }: BedPart): ShadeAt {
  if (shades.length === 0) return THINNING;
  const whole = Math.max(1, daysBetween(start, end));
  return (share) => {
    const known = shades.filter(({ on }) => daysBetween(start, on) <= share * whole).at(-1);
    return Math.min(0.9, Math.max(0.04, (known?.percent ?? 100) / 100));
  };
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

const SCREEN = 6;
const MEDIUM = 5.8;
const LATH = 9;
const FURROW = 7;

const DRAW: Record<Exclude<Texture, "toughen">, (box: Box, seed: string) => string> = {
  lost: (box) => strokes(box, SCREEN * 1.7, 1),
  quarantine: (box) => strokes(box, SCREEN, 1) + strokes(box, SCREEN, -1),
  grow: dots,
  field: furrows,
};

function strokes({ x, y, width, height }: Box, step: number, way: 1 | -1): string {
  let d = "";
  for (let at = x - height; at < x + width; at += step) {
    const [low, high] = way === 1 ? [y + height, -height] : [y, height];
    d += `M${fixed(at)} ${fixed(low)}l${height} ${high}`;
  }
  return d;
}

/** Jittered by a seed, so that the dots do not move between visits. */
function dots({ x, y, width, height }: Box, seed: string): string {
  let state = Array.from(seed).reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) >>> 0, 7);
  const jitter = (): number => {
    state = (state * 1_664_525 + 1_013_904_223) >>> 0;
    return (state / 2 ** 32 - 0.5) * MEDIUM * 0.4;
  };
  let d = "";
  for (let row = 0; row * MEDIUM + MEDIUM / 2 < height; row += 1) {
    const shift = row % 2 === 0 ? MEDIUM / 2 : MEDIUM;
    for (let at = x + shift; at < x + width; at += MEDIUM) {
      d += `M${fixed(at + jitter())} ${fixed(y + MEDIUM / 2 + row * MEDIUM + jitter())}h0`;
    }
  }
  return d;
}

/** Slats that thin out as shade comes off. */
function laths({ x, y, width, height }: Box, shadeAt: ShadeAt): string {
  let d = "";
  for (let at = 0; at < width; at += LATH) {
    const wide = fixed(Math.min(LATH * shadeAt(at / Math.max(width, LATH)), width - at));
    d += `M${fixed(x + at)} ${y}h${wide}v${height}h-${wide}z`;
  }
  return d;
}

function furrows({ x, y, width, height }: Box): string {
  let d = "";
  for (let at = FURROW / 2; at < height; at += FURROW) {
    d += `M${fixed(x)} ${fixed(y + at)}`;
    for (let along = 0; along < width; along += 12) d += "q3 -3 6 0t6 0";
  }
  return d;
}

function fixed(figure: number): string {
  return (Math.round(figure * 10) / 10).toString();
}
