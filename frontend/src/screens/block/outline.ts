/** The outline of a block, drawn corner by corner: by walking it, or on a plane in metres. */
import type { Spot } from "./drawn";
import { metresOf, placeAt, type Place } from "./plane";

/** A corner: metres east and north of where the plane begins. */
export interface Corner {
  readonly x: number;
  readonly y: number;
  /**
   * How far off it may lie [m]: a circle that holds it with 95 % confidence, as the phone told it (W3C
   * Geolocation, `accuracy`). Null where it was drawn.
   */
  readonly off: number | null;
}

export interface Outline {
  /** Where the plane begins, `lon lat`; empty until somebody knows it. */
  at: string;
  corners: readonly Corner[];
}

/** What is drawn from nothing. */
export const NO_OUTLINE: Outline = { at: "", corners: [] };
/** A corner that may lie further off bears a warning [m]. (Common practice, no source.) */
export const GOOD_M = 10;
export const LEAST_CORNERS = 3;
/** An outline outlives its walk: it is laid out at the desk, perhaps weeks later. */
export const KEPT_MS = 30 * 24 * 3600_000;
const DM = 10;

/** A decimetre is finer than anybody sets a stake by. */
export const corner = ([x, y]: Spot, off: number | null = null): Corner => ({
  ...{ x: Math.round(x * DM) / DM, y: Math.round(y * DM) / DM },
  off: off === null ? null : Math.ceil(off),
});

/** Where a fix of the phone lies on the plane; the first one is where the plane begins. */
export function fixed(origin: Place | null, place: Place, off: number): Corner {
  return corner(origin === null ? [0, 0] : metresOf(origin, place), off);
}

export const isPoor = ({ off }: Corner): boolean => off !== null && off > GOOD_M;

export function without(corners: readonly Corner[], index: number): readonly Corner[] {
  return corners.filter((_, i) => i !== index);
}

/** The corner at that place of the walk is another one. */
export function replaced(corners: readonly Corner[], index: number, by: Corner): readonly Corner[] {
  return corners.map((one, i) => (i === index ? by : one));
}

/** A corner halfway to the next one: it is moved from there. */
export function halfway(corners: readonly Corner[], index: number): readonly Corner[] {
  const [from, next] = [corners[index], corners[(index + 1) % corners.length]];
  if (!from || !next) return corners;
  const between = corner([(from.x + next.x) / 2, (from.y + next.y) / 2]);
  return [...corners.slice(0, index + 1), between, ...corners.slice(index + 1)];
}

/** From each corner to the one before it [m]; to the first one from the last. */
export function sides(corners: readonly Corner[]): readonly number[] {
  return corners.map(({ x, y }, i) => {
    const before = corners.at(i - 1) ?? { x, y };
    return Math.hypot(x - before.x, y - before.y);
  });
}

/** What the corners hold [m²]. */
export function areaOf(corners: readonly Corner[]): number {
  const twice = corners.reduce((sum, { x, y }, i) => {
    const next = corners[(i + 1) % corners.length] ?? { x, y };
    return sum + x * next.y - next.x * y;
  }, 0);
  return Math.abs(twice) / 2;
}

/** Whether two sides that are not neighbours meet: such an outline holds no simple ground. */
export function crosses(corners: readonly Corner[]): boolean {
  const n = corners.length;
  const sides = corners.map((one, i): Side => [one, corners[(i + 1) % n] ?? one]);
  return sides.some((one, i) =>
    sides.some((other, j) => j > i + 1 && (j + 1) % n !== i && meet(one, other)),
  );
}

type Side = readonly [Corner, Corner];

function meet([a, b]: Side, [c, d]: Side): boolean {
  return apart(a, b, c, d) && apart(c, d, a, b);
}

/** Two corners lie on two sides of a line, or one of them on it. */
function apart(a: Corner, b: Corner, c: Corner, d: Corner): boolean {
  return turn(a, b, c) * turn(a, b, d) <= 0;
}

function turn(a: Corner, b: Corner, c: Corner): number {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/** The outline as GeoJSON (RFC 7946): a ring is closed, longitude comes first. */
export function polygonOf(origin: Place, corners: readonly Corner[]): object {
  const ring = corners.map(({ x, y }) => placeAt(origin, [x, y]).map(fine));
  return { type: "Polygon", coordinates: [[...ring, ...ring.slice(0, 1)]] };
}

/** Seven digits are a centimetre. */
const fine = (degrees: number): number => Math.round(degrees * 1e7) / 1e7;

/** The outline that a layout holds already, to be changed. */
export function outlineOf(ring: readonly number[]): Outline {
  const places = Array.from({ length: Math.floor(ring.length / 2) }, (_, i): Place => [
    ring[2 * i] ?? 0,
    ring[2 * i + 1] ?? 0,
  ]);
  const [origin] = places;
  if (!origin) return NO_OUTLINE;
  const corners = places.map((place) => corner(metresOf(origin, place)));
  const [first, last] = [corners[0], corners.at(-1)];
  const closed = corners.length > 1 && first?.x === last?.x && first?.y === last?.y;
  return { at: origin.join(" "), corners: closed ? corners.slice(0, -1) : corners };
}

/** The part of the plane that is looked at: a square of `wide` metres around its middle. */
export interface View {
  readonly x: number;
  readonly y: number;
  readonly wide: number;
}

export const WIDTHS: readonly number[] = [20, 50, 100, 200, 500, 1000, 2000, 5000];
export const FIRST_VIEW: View = { x: 0, y: 0, wide: 100 };
const EDGE = 0.8;

/** The same view while all corners lie in it, else one that holds them all. */
export function viewOf(before: View, corners: readonly Corner[]): View {
  const inside = corners.every(
    ({ x, y }) => Math.max(Math.abs(x - before.x), Math.abs(y - before.y)) <= before.wide / 2,
  );
  if (inside) return before;
  const [xs, ys] = [corners.map(({ x }) => x), corners.map(({ y }) => y)];
  const [left, right, low, high] = [
    Math.min(...xs),
    Math.max(...xs),
    Math.min(...ys),
    Math.max(...ys),
  ];
  const long = Math.max(right - left, high - low) / EDGE;
  const wide = WIDTHS.find((one) => one >= Math.max(long, before.wide)) ?? long;
  return { x: (left + right) / 2, y: (low + high) / 2, wide };
}

/** One step nearer or further; the middle of the corners stays in the middle. */
export function zoomed(before: View, by: -1 | 1): View {
  const at = WIDTHS.findIndex((one) => one >= before.wide);
  return { ...before, wide: WIDTHS[at + by] ?? before.wide };
}

/** Where somebody tapped: shares of the square, from its upper left, as metres. */
export function tapped({ x, y, wide }: View, across: number, down: number): Corner {
  return corner([x + (across - 0.5) * wide, y + (0.5 - down) * wide]);
}
