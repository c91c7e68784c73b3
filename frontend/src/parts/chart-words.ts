/** Where the words of a chart stand, so that none overlap and all of them can be read. */
import type { Spot } from "./chart";

/** How wide a letter is at most, for its size: words are set so that there is room for them. */
export const LETTER = 0.6;

/** Words over a chart: where each begins and on which line it stands, so that none overlap. */
export function apart(
  words: readonly { readonly at: number; readonly wide: number }[],
  width: number,
  gap = 12,
): { x: number; level: number }[] {
  const free: number[] = [];
  const placed = words.map(() => ({ x: 0, level: 0 }));
  const order = words.map((word, i) => ({ ...word, i })).sort((a, b) => a.at - b.at);
  for (const { at, wide, i } of order) {
    const x = Math.max(0, Math.min(at - wide / 2, width - wide));
    const found = free.findIndex((end) => end + gap <= x);
    const level = found === -1 ? free.length : found;
    free[level] = x + wide;
    placed[i] = { x, level };
  }
  return placed;
}

/** A ring on the screen, and where its words stand: before it, or behind. */
export interface Ring {
  readonly x: number;
  readonly y: number;
  readonly words: { readonly x: number; readonly y: number; readonly before: boolean };
}

interface Beside {
  readonly x: number;
  readonly y: number;
  readonly wide: number;
  readonly below: boolean;
}

/**
 * Words beside their rings, on the side with more room, line by line until they are free: downwards
 * where they are to stand below and the `ground` leaves room, else upwards.
 */
export function aside(
  rings: readonly Beside[],
  [left, right]: readonly [number, number],
  { em, ground }: { readonly em: number; readonly ground: number },
): Ring[] {
  const taken: [number, number, number][] = [];
  return rings.map(({ x, y, wide, below }) => {
    const before = x - wide - 10 >= left && x - left > right - x;
    // Where neither side has room the words are set from the edge.
    const from = before ? x - 10 - wide : Math.max(left, Math.min(x + 10, right - wide));
    const free = (at: number): boolean =>
      !taken.some(([a, b, high]) => a < from + wide && from < b && Math.abs(high - at) < em * 1.2);
    const lines = Array.from({ length: rings.length }, (_, n) => n * em * 1.4);
    const down = below
      ? lines.map((line) => y + em * 1.6 + line).filter((at) => at <= ground - 4)
      : [];
    const up = lines.map((line) => y - 8 - line);
    const at = [...down, ...up].find(free) ?? y - 8;
    taken.push([from, from + wide, at]);
    return { x, y, words: { x: before ? x - 10 : from, y: at, before } };
  });
}

/** Whether the words of a level have more room at its end than at its beginning. */
export function atEnd(
  spots: readonly Spot[],
  level: number,
  wide: number,
  [left, right]: readonly [number, number],
): boolean {
  const room = (from: number, to: number): number =>
    Math.min(
      Infinity,
      ...spots.flatMap(({ x, y }) =>
        y === null || x < from || x > to ? [] : [Math.abs(y - level)],
      ),
    );
  return room(right - wide, right) > room(left, left + wide);
}
