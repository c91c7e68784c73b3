/** Looks at what a camera shows, again and again, until a label is read in the frame. */
import type { Read, Seen } from "./reader";

/** What stands in the frame: nothing, one text, or more than one label. */
export type InFrame = { readonly is: "nothing" | "two" } | { readonly is: "one"; text: string };

/** The frame is the middle of the square that is shown, this much of its side. */
export const FRAME = 0.84;
const EVERY_MS = 120;
const LARGEST = 1080;

/** Only what has its middle in the frame counts: a neighbour's label at the edge does not. */
export function inFrame(seen: readonly Seen[]): InFrame {
  const edge = (1 - FRAME) / 2;
  const inside = (at: number): boolean => at >= edge && at <= 1 - edge;
  const texts = new Set(seen.filter(({ x, y }) => inside(x) && inside(y)).map(({ text }) => text));
  const [text] = texts;
  if (text === undefined) return { is: "nothing" };
  return texts.size > 1 ? { is: "two" } : { is: "one", text };
}

/** The middle square of a picture, as the sheet shows it, at most so many pixels a side. */
export function square(
  width: number,
  height: number,
): { x: number; y: number; from: number; to: number } {
  const from = Math.min(width, height);
  return { x: (width - from) / 2, y: (height - from) / 2, from, to: Math.min(from, LARGEST) };
}

/** Begin to look; the answer stops it. */
export function watch(
  video: HTMLVideoElement,
  read: Read,
  tell: (frame: InFrame) => void,
): () => void {
  const canvas = document.createElement("canvas");
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  const visit = { over: false };
  let timer = 0;

  async function look(): Promise<void> {
    const began = performance.now();
    if (pen && video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA && video.videoWidth > 0) {
      const { x, y, from, to } = square(video.videoWidth, video.videoHeight);
      if (canvas.width !== to) canvas.width = canvas.height = to;
      pen.drawImage(video, x, y, from, from, 0, 0, to, to);
      const frame = inFrame(await read(pen.getImageData(0, 0, to, to)));
      // It may have been stopped while it read.
      if (!visit.over) tell(frame);
    }
    if (!visit.over)
      timer = window.setTimeout(() => void look(), EVERY_MS - (performance.now() - began));
  }

  void look();
  return () => {
    visit.over = true;
    clearTimeout(timer);
  };
}
