/**
 * The inside of a JPEG file, as far as this app must know it (ITU-T T.81, annex B).
 *
 * A file is a start, then segments of a marker, a length and content, up to the scan of the picture.
 */

/** It is no JPEG, or it is cut short. */
export class NoJpeg extends Error {}

export interface Frame {
  readonly width: number;
  readonly height: number;
}

const START = 0xd8;
const SCAN = 0xda;
const COMMENT = 0xfe;
const JFIF = 0xe0;
/** How the colours are coded: without it some readers show others. */
const COLOURS = 0xee;
const APPLICATION = { first: 0xe0, last: 0xef };

interface Segment {
  readonly marker: number;
  readonly at: number;
  readonly end: number;
}

/**
 * The same picture without words about it: where, when, by which camera, of which owner.
 *
 * @throws NoJpeg
 */
export function bare(file: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const kept = [file.subarray(0, 2)];
  let scan = file.length;
  for (const { marker, at, end } of segments(file)) {
    if (marker === SCAN) scan = at;
    else if (!tells(marker)) kept.push(file.subarray(at, end));
  }
  kept.push(file.subarray(scan));
  const length = kept.reduce((sum, part) => sum + part.length, 0);
  const all = new Uint8Array(length);
  let at = 0;
  for (const part of kept) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** Whether a segment tells of the picture what its points do not. */
function tells(marker: number): boolean {
  if (marker === COMMENT) return true;
  const application = marker >= APPLICATION.first && marker <= APPLICATION.last;
  return application && marker !== JFIF && marker !== COLOURS;
}

/**
 * How many points the picture has, by its own head.
 *
 * @throws NoJpeg
 */
export function frame(file: Uint8Array): Frame {
  for (const { marker, at } of segments(file)) {
    if (isFrame(marker)) return { height: pair(file, at + 5), width: pair(file, at + 7) };
  }
  throw new NoJpeg();
}

/** Any start of a frame; the three others in its range define tables. */
function isFrame(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
}

/** The segments up to the scan, the scan's own head last. */
function* segments(file: Uint8Array): Generator<Segment> {
  if (file[0] !== 0xff || file[1] !== START) throw new NoJpeg();
  let at = 2;
  for (;;) {
    const marker = file[at + 1];
    if (file[at] !== 0xff || marker === undefined) throw new NoJpeg();
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    const end = at + 2 + pair(file, at + 2);
    if (end > file.length) throw new NoJpeg();
    yield { marker, at, end };
    if (marker === SCAN) return;
    at = end;
  }
}

function pair(file: Uint8Array, at: number): number {
  const [high, low] = [file[at], file[at + 1]];
  if (high === undefined || low === undefined) throw new NoJpeg();
  return high * 256 + low;
}
