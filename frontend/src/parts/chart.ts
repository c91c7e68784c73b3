/** Charts drawn by hand: scales, figures at an axis, paths with gaps, and the same as a table. */
import { daysBetween } from "../words/forms";

/** A place along the axis: an ISO day, or a figure. */
export type Along = string | number;

export interface Dot {
  readonly x: Along;
  /** Null is a gap: what was not read is not drawn. */
  readonly y: number | null;
}

export interface Reach {
  readonly x: Along;
  readonly low: number | null;
  readonly high: number | null;
}

/** Told apart by the stroke and by a word, never by a colour. */
export type Stroke = "plain" | "heavy" | "fine" | "dashed" | "dotted";

export interface Drawn {
  readonly draw: "line" | "steps" | "bars" | "points";
  readonly name: string;
  readonly points: readonly Dot[];
  readonly stroke?: Stroke;
}

export interface Band {
  readonly draw: "band";
  readonly name: string;
  readonly points: readonly Reach[];
}

export type Series = Drawn | Band;

/** Days, or figures, along the axis: what its left and right edge are. */
export type Across =
  | { readonly kind: "time"; readonly from: string; readonly to: string }
  | { readonly kind: "number"; readonly from: number; readonly to: number };

/** A horizontal line with its words: a limit, a figure to be reached. */
export interface Level {
  readonly y: number;
  readonly says: string;
}

/** A vertical line with its words; today is the plumb line. */
export interface Mark {
  readonly x: Along;
  readonly says: string;
  readonly today?: boolean;
}

/** A stretch with its words, as planting weeks are; `lost` is boarded up. */
export interface Stretch {
  readonly from: Along;
  readonly to: Along;
  readonly says: string;
  readonly lost?: boolean;
}

/** A ring around one figure of the chart, with its words. */
export interface Note {
  readonly x: Along;
  readonly y: number;
  readonly says: string;
  /** The words stand below the ring. */
  readonly below?: boolean;
}

/** Where something lies along an axis, as a figure; days count from a fixed one. */
export function along(x: Along): number {
  return typeof x === "number" ? x : daysBetween("1970-01-01", x);
}

/** From figures to dots of the screen; one figure alone lies in the middle. */
export function scale(
  [from, to]: readonly [number, number],
  [start, end]: readonly [number, number],
): (figure: number) => number {
  if (from === to) return () => (start + end) / 2;
  return (figure) => start + ((figure - from) / (to - from)) * (end - start);
}

const NICE = [1, 2, 5, 10];

/** Between two figures of an axis: 1, 2 or 5 and its tens, so that there are no more than `most`. */
export function stepOf(low: number, high: number, most: number): number {
  const least = (high - low) / Math.max(1, most - 1);
  if (!(least > 0)) return 1;
  const ten = 10 ** Math.floor(Math.log10(least));
  return ten * (NICE.find((one) => one * ten >= least * (1 - 1e-9)) ?? 10);
}

/** The figures to write at an axis, all of them within it. */
export function ticks(low: number, high: number, most = 5): number[] {
  const step = stepOf(low, high, most);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => tidy((first + i) * step));
}

/** As far as an axis reaches so that it holds every figure and begins and ends at a nice one. */
export function reach(figures: readonly number[], most = 5): [number, number] {
  if (figures.length === 0) return [0, 1];
  const [low, high] = [Math.min(...figures), Math.max(...figures)];
  if (low === high) return low === 0 ? [0, 1] : low > 0 ? [0, 2 * low] : [2 * low, 0];
  const step = stepOf(low, high, most);
  return [tidy(Math.floor(low / step + 1e-9) * step), tidy(Math.ceil(high / step - 1e-9) * step)];
}

/** What of a series lies on the axis. What lies beyond sets no scale and stands in no table. */
export function onAxis(series: readonly Series[], across: Across): Series[] {
  const [from, to] = [along(across.from), along(across.to)];
  const within = ({ x }: { readonly x: Along }): boolean => along(x) >= from && along(x) <= to;
  return series.map((one) =>
    one.draw === "band"
      ? { ...one, points: one.points.filter(within) }
      : { ...one, points: one.points.filter(within) },
  );
}

/** Every figure of a chart; bars stand on nought. */
export function figuresOf(series: readonly Series[]): number[] {
  return series
    .flatMap((one) =>
      one.draw === "band"
        ? one.points.flatMap(({ low, high }) => [low, high])
        : [...one.points.map(({ y }) => y), ...(one.draw === "bars" ? [0] : [])],
    )
    .filter((figure) => figure !== null);
}

/** A point on the screen; `y` is null in a gap. */
export interface Spot {
  readonly x: number;
  readonly y: number | null;
}

/** Lines from spot to spot, broken at gaps; a spot by itself is a dot. */
export function line(spots: readonly Spot[]): string {
  return runs(spots)
    .map((run) =>
      run.length === 1
        ? `M${run.map(([x, y]) => `${fixed(x)} ${fixed(y)}`).join("")}h0`
        : run.map(([x, y], i) => `${i === 0 ? "M" : "L"}${fixed(x)} ${fixed(y)}`).join(""),
    )
    .join("");
}

/** A figure that holds until the next one is read: stairs. */
export function steps(spots: readonly Spot[]): string {
  return runs(spots)
    .map((run) =>
      run
        .map(([x, y], i) => (i === 0 ? `M${fixed(x)} ${fixed(y)}h0` : `H${fixed(x)}V${fixed(y)}`))
        .join(""),
    )
    .join("");
}

/** Low and high on the screen; null in a gap. */
export interface Span {
  readonly x: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** Upright strokes from low to high, at even distances, broken at gaps. */
export function strokes(spans: readonly Span[], every = 8): string {
  let d = "";
  const stroke = (x: number, low: number, high: number): void => {
    d += `M${fixed(x)} ${fixed(low)}V${fixed(high)}`;
  };
  for (let i = 0; i < spans.length; i += 1) {
    const [here, next] = [spans[i], spans[i + 1]];
    if (here === undefined || here.low === null || here.high === null) continue;
    if (next === undefined || next.low === null || next.high === null) {
      stroke(here.x, here.low, here.high);
      continue;
    }
    const first = Math.ceil(here.x / every) * every;
    for (let x = first; x < next.x; x += every) {
      const part = (x - here.x) / (next.x - here.x);
      stroke(x, between(here.low, next.low, part), between(here.high, next.high, part));
    }
  }
  return d;
}

export interface Bar {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Bars on a ground; as wide as the closest two allow. */
export function bars(spots: readonly Spot[], ground: number, room: number): Bar[] {
  const far = spots.slice(1).map(({ x }, i) => x - (spots[i]?.x ?? 0));
  const width = Math.max(1, Math.min(room * 0.2, ...far) * 0.7);
  return spots.flatMap(({ x, y }) =>
    y === null
      ? []
      : [{ x: x - width / 2, y: Math.min(y, ground), width, height: Math.abs(ground - y) }],
  );
}

/** Spots that follow each other without a gap. */
function runs(spots: readonly Spot[]): [number, number][][] {
  const all: [number, number][][] = [[]];
  for (const { x, y } of spots) {
    if (y === null) all.push([]);
    else all.at(-1)?.push([x, y]);
  }
  return all.filter((run) => run.length > 0);
}

function between(from: number, to: number, part: number): number {
  return from + (to - from) * part;
}

function tidy(figure: number): number {
  return Number(figure.toPrecision(12));
}

function fixed(figure: number): string {
  return (Math.round(figure * 10) / 10).toString();
}
