/** The keys of a pad on which the labels of one nursery are typed, and what was pressed. */
import { canonical, pieces } from "../log/labels";

const MOST_KEYS = 9;
const LETTERS = /^\p{L}/u;

/**
 * Letters as they stand together on labels, each a key (`T`, `TR`), those that labels begin with
 * first; single letters where that would be too many keys.
 */
export function letterKeys(labels: readonly string[]): string[] {
  const parts = labels.map((label) => pieces(canonical(label)).filter((one) => LETTERS.test(one)));
  const found = new Set([...parts.flatMap((some) => some.slice(0, 1)), ...parts.flat()]);
  const keys =
    found.size > MOST_KEYS ? new Set([...found].flatMap((one) => Array.from(one))) : found;
  return [...keys].sort();
}

/** Labels of which a pad needs the letters: letters and a number. Names in words are not typed. */
export function typable(label: string): boolean {
  return /^\p{L}{1,3}\d+$/u.test(canonical(label));
}

/** The pressed keys after one more; a label is never longer than the book keeps. */
export function press(pressed: readonly string[], key: string): readonly string[] {
  return pressed.join("").length + key.length > 24 ? pressed : [...pressed, key];
}
