/**
 * Unsaved forms, by key, as text. They are kept at once and read at once, so that a form opens as it
 * was left; where the browser keeps nothing they last as long as the page. The disk has them too, for
 * a browser that is killed before its own storage is there.
 */
import { DraftsDisk } from "./drafts-disk";

const HEAD = "draft ";
/** A form left alone for so long is begun anew, where it says nothing else. (Choice of the product.) */
const OLDEST_MS = 24 * 3600_000;

interface Kept {
  readonly at: number;
  readonly text: string;
}

export const disk = new DraftsDisk();

export function keepDraft(key: string, text: string, now: number): void {
  put(key, { at: now, text });
  disk.note(key, { at: now, text });
}

export function keptDraft<T>(key: string, now: number, most = OLDEST_MS): Partial<T> | null {
  const kept = found(key);
  if (!kept || Math.abs(now - kept.at) > most) return null;
  try {
    return JSON.parse(kept.text) as Partial<T>;
  } catch {
    return null;
  }
}

export function dropDraft(key: string): void {
  const kept = found(key);
  if (!kept) return;
  take(key);
  disk.note(key, { at: kept.at, text: null });
}

/**
 * Hold the browser's storage against the disk, before the first form opens: of each form the later
 * one stands, and one that was saved or given up does not come back.
 */
export async function openDrafts(now: number): Promise<void> {
  for (const [key, { at, text }] of await disk.marks(now)) {
    const kept = found(key);
    if (text === null) {
      if (kept && kept.at <= at) take(key);
    } else if (!kept || kept.at < at) put(key, { at, text });
  }
}

/** Forget all of them, here and on the disk. */
export async function forgetDrafts(): Promise<void> {
  try {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(HEAD));
    for (const key of keys) localStorage.removeItem(key);
  } catch {
    // Nothing kept.
  }
  await disk.destroy();
}

function found(key: string): Kept | null {
  try {
    const { at, text } = JSON.parse(localStorage.getItem(HEAD + key) ?? "") as Partial<Kept>;
    return typeof at === "number" && typeof text === "string" ? { at, text } : null;
  } catch {
    // Nothing kept, or nothing that can be read.
    return null;
  }
}

function put(key: string, kept: Kept): void {
  try {
    localStorage.setItem(HEAD + key, JSON.stringify(kept));
  } catch {
    // Full or shut: the form itself still holds it.
  }
}

function take(key: string): void {
  try {
    localStorage.removeItem(HEAD + key);
  } catch {
    // Nothing kept.
  }
}
