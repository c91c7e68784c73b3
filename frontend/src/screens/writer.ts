/**
 * Who writes now, kept through a reload: a phone that was killed in a pocket does not ask again.
 *
 * After ten minutes in which nobody touched it the phone asks who it is. (Common practice, no source.)
 */
import { choose, chosen } from "../shelf/settings";

/** `confirmed` is false where the PIN was forgotten. */
export interface Writer {
  readonly person: string;
  readonly confirmed: boolean;
}

export const REST_MS = 10 * 60_000;

/** Not kept anew at each tap: what the tap is for would wait for it. (Choice of the product.) */
const AGAIN_MS = 5000;
let last = { writer: "", at: -Infinity };

export function keepWriter(writer: Writer, now: number): void {
  const same = last.writer === JSON.stringify(writer);
  if (same && Math.abs(now - last.at) < AGAIN_MS) return;
  last = { writer: JSON.stringify(writer), at: now };
  choose("writer", JSON.stringify({ ...writer, at: now }));
}

export function forgetWriter(): void {
  last = { writer: "", at: -Infinity };
  choose("writer", "");
  // What was last seen was theirs to see.
  choose("glimpse", "");
}

export function keptWriter(now: number): Writer | null {
  try {
    const kept = JSON.parse(chosen("writer") ?? "") as Partial<Writer> & { at?: number };
    const { person, confirmed, at } = kept;
    if (typeof person !== "string" || typeof at !== "number") return null;
    return Math.abs(now - at) < REST_MS ? { person, confirmed: confirmed === true } : null;
  } catch {
    return null;
  }
}
