/**
 * Unsaved forms, by key, as text. They are kept at once and read at once, so that a form opens as it
 * was left; where the browser keeps nothing they last as long as the page.
 */
const HEAD = "draft ";
/** A form left alone for so long is begun anew, where it says nothing else. (Choice of the product.) */
const OLDEST_MS = 24 * 3600_000;

export function keepDraft(key: string, text: string, now: number): void {
  try {
    localStorage.setItem(HEAD + key, JSON.stringify({ at: now, text }));
  } catch {
    // Full or shut: the form itself still holds it.
  }
}

export function keptDraft<T>(key: string, now: number, most = OLDEST_MS): Partial<T> | null {
  try {
    const kept = JSON.parse(localStorage.getItem(HEAD + key) ?? "") as { at: number; text: string };
    if (Math.abs(now - kept.at) <= most) return JSON.parse(kept.text) as Partial<T>;
  } catch {
    // Nothing kept, or nothing that can be read.
  }
  return null;
}

export function dropDraft(key: string): void {
  try {
    localStorage.removeItem(HEAD + key);
  } catch {
    // Nothing kept.
  }
}
