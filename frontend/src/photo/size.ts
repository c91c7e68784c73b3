/** How small a picture is made, and how it gets there. */
import type { Frame } from "./jpeg";

/** Points on the long side, and bytes (protocol, requirement 23). */
export const LONGEST = 1600;
export const TYPICAL = 400_000;
export const MOST = 1_500_000;
/** The small one that stays when the picture itself has gone to the office. */
export const THUMB_LONGEST = 320;
export const THUMB_MOST = 40_000;

const BEST = 0.86;
const LEAST = 0.4;
const STEPS = 4;

/** The size that fits into `longest` on both sides; never larger than it is. */
export function within({ width, height }: Frame, longest: number): Frame {
  const share = Math.min(1, longest / Math.max(width, height));
  return { width: side(width * share), height: side(height * share) };
}

function side(points: number): number {
  return Math.max(1, Math.round(points));
}

/**
 * The file of the best quality that is small enough; where none is, the smallest one.
 *
 * The same steps every time, so that the same picture gives the same bytes.
 */
export async function fitted(
  encode: (quality: number) => Promise<Blob>,
  most: number,
): Promise<Blob> {
  const best = await encode(BEST);
  if (best.size <= most) return best;
  let [low, high] = [LEAST, BEST];
  let found = await encode(low);
  for (let step = 0; step < STEPS && found.size <= most; step++) {
    const quality = (low + high) / 2;
    const tried = await encode(quality);
    if (tried.size <= most) [found, low] = [tried, quality];
    else high = quality;
  }
  return found;
}
