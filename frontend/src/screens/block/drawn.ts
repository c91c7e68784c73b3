/**
 * A block as a drawing: metres, x to the east and y down the page.
 *
 * A row is one path whatever it holds, so 20 000 positions are some hundred paths and no circles.
 */
import { isCrop, nameAt } from "../../log/planting-row";
import { degree } from "./plane";
import { gapOf, type BlockLayout, type BlockRow } from "./shapes";

export type Spot = readonly [x: number, y: number];

export interface DrawnRow {
  readonly row: BlockRow;
  readonly line: string;
  /** A stroke of no length at each position: a round cap makes it a dot. */
  readonly dots: string;
  /** Where each position lies, from the painted end. */
  readonly spots: readonly Spot[];
  readonly start: Spot;
  readonly end: Spot;
}

export interface Drawing {
  readonly rows: readonly DrawnRow[];
  readonly outline: string | null;
  readonly stake: Spot;
  readonly box: {
    readonly x: number;
    readonly y: number;
    readonly wide: number;
    readonly high: number;
  };
  /** Width of a hundredth of the drawing: letters and marks are so many of it. */
  readonly unit: number;
  /** Width of a dot: never so wide that it meets the next one. */
  readonly dot: number;
  /** A round length in metres; null where no distance is known. */
  readonly bar: number | null;
  /** Whether up is north: where the ground was drawn. */
  readonly north: boolean;
}

const DM = 10;

export function drawing(layout: BlockLayout): Drawing {
  const rows = [...layout.rows].sort((a, b) => a.number - b.number);
  const placed = rows.length > 0 && rows.every(({ path }) => (path?.length ?? 0) > 0);
  const drawn = placed ? rows.map(onGround) : onRaster(rows, layout);
  const ring = placed ? ringOf(layout) : [];
  const north = placed && layout.painted_end?.length === 2;
  const every = [...drawn.flatMap(({ spots }) => spots), ...ring, ...(north ? [ORIGIN] : [])];
  const box = around(every.length > 0 ? every : [ORIGIN]);
  const unit = Math.max(box.wide, box.high) / 100;
  const metric = placed || Boolean(layout.in_row_m && layout.between_m);
  return {
    rows: drawn.map(({ row, spots }) => told(row, spots)),
    outline: ring.length > 0 ? `${lineOf(ring)}Z` : null,
    stake: north ? ORIGIN : (drawn[0]?.spots[0] ?? ORIGIN),
    box,
    unit,
    dot: Math.min(0.9 * unit, 0.45 * closest(drawn)),
    bar: metric ? roundLength(box.wide / 4) : null,
    north,
  };
}

/** The least distance of neighbours in a row, and of rows where they begin. */
function closest(rows: readonly Placed[]): number {
  const pairs = [...rows.map(({ spots }) => spots), rows.flatMap(({ spots }) => spots.slice(0, 1))]
    .flatMap((spots) => spots.slice(1, 3).map((spot, i) => far(spots[i] ?? spot, spot)))
    .filter((metres) => metres > 0);
  return pairs.length > 0 ? Math.min(...pairs) : Infinity;
}

function far([x0, y0]: Spot, [x1, y1]: Spot): number {
  return Math.hypot(x1 - x0, y1 - y0);
}

const ORIGIN: Spot = [0, 0];

interface Placed {
  readonly row: BlockRow;
  readonly spots: readonly Spot[];
}

/** Where the path of a row puts its positions; its ends alone stand for an even row. */
function onGround(row: BlockRow): Placed {
  const path = row.path ?? [];
  const at = (i: number): Spot => [(path[2 * i] ?? 0) / DM, -(path[2 * i + 1] ?? 0) / DM];
  if (path.length === 2 * row.holes) {
    return { row, spots: Array.from({ length: row.holes }, (_, i) => at(i)) };
  }
  return { row, spots: evenly(at(0), at(1), row.holes) };
}

function evenly([x0, y0]: Spot, [x1, y1]: Spot, count: number): Spot[] {
  const steps = Math.max(1, count - 1);
  return Array.from({ length: count }, (_, i) => [
    x0 + ((x1 - x0) * i) / steps,
    y0 + ((y1 - y0) * i) / steps,
  ]);
}

/** Rows that were typed stand straight below each other, from the painted end to the right. */
function onRaster(rows: readonly BlockRow[], layout: BlockLayout): Placed[] {
  const along = layout.in_row_m ?? 1;
  const long = Math.max(1, ...rows.filter(isCrop).map(({ holes }) => (holes - 1) * along));
  let y = 0;
  return rows.map((row, i) => {
    if (i > 0) y += gapOf(layout, i - 1);
    const shift = layout.pattern === "triangular" && i % 2 === 1 ? along / 2 : 0;
    const reach = isCrop(row) ? (row.holes - 1) * along : long;
    return { row, spots: evenly([shift, y], [shift + reach, y], row.holes) };
  });
}

function ringOf({ outline = [], painted_end: stake }: BlockLayout): Spot[] {
  const [lon, lat] = stake ?? [];
  if (lon === undefined || lat === undefined) return [];
  const [east, north] = degree(lat);
  return Array.from({ length: Math.floor(outline.length / 2) }, (_, i) => [
    ((outline[2 * i] ?? 0) - lon) * east,
    -((outline[2 * i + 1] ?? 0) - lat) * north,
  ]);
}

function around(spots: readonly Spot[]): Drawing["box"] {
  let [left, top] = spots[0] ?? ORIGIN;
  let [right, bottom] = [left, top];
  for (const [x, y] of spots) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y);
  }
  const edge = Math.max(right - left, bottom - top, 1) / 12;
  return {
    x: left - edge,
    y: top - edge,
    wide: right - left + 2 * edge,
    high: bottom - top + 2 * edge,
  };
}

function told(row: BlockRow, spots: readonly Spot[]): DrawnRow {
  const start = spots[0] ?? ORIGIN;
  return {
    row,
    line: lineOf(spots),
    dots: spots.map(dotOf).join(""),
    spots,
    start,
    end: spots.at(-1) ?? start,
  };
}

/** A stroke of no length at each position of the crop that somebody names: a square around its dot. */
export function squares(rows: readonly DrawnRow[], named: (name: string) => boolean): string {
  return rows
    .filter(({ row }) => isCrop(row))
    .flatMap(({ row, spots }) => spots.filter((_, at) => named(nameAt(row, at))))
    .map(dotOf)
    .join("");
}

function dotOf([x, y]: Spot): string {
  return `M${fine(x)} ${fine(y)}h0`;
}

function lineOf(spots: readonly Spot[]): string {
  return spots.map(([x, y], i) => `${i === 0 ? "M" : "L"}${fine(x)} ${fine(y)}`).join("");
}

function fine(metres: number): string {
  return String(Math.round(metres * 100) / 100);
}

/** The longest of 1, 2, 5, 10, ... that is no longer than that. */
export function roundLength(most: number): number {
  const ten = 10 ** Math.floor(Math.log10(Math.max(most, 1)));
  return [5, 2, 1].map((n) => n * ten).find((n) => n <= most) ?? ten;
}

/** Every so many rows bear their number, so that no number stands upon another. */
export function numbered(rows: number, most = 30): number {
  return Math.max(1, roundUp(rows / most));
}

function roundUp(n: number): number {
  return n <= 1 ? 1 : n <= 2 ? 2 : n <= 5 ? 5 : Math.ceil(n / 10) * 10;
}
