/** Labels that follow one another: T7 after T6. What is proposed can always be written otherwise. */
import { byText } from "./entry";
import { canonical, pieces } from "./labels";

const NUMBERED = /^(.*?)(\d+)(\D*)$/;

/** The label after this one; a name without a number begins to be numbered. */
export function following(label: string): string {
  const found = NUMBERED.exec(label);
  if (!found) return `${label}1`;
  const [, head = "", number = "", tail = ""] = found;
  return `${head}${String(Number(number) + 1).padStart(number.length, "0")}${tail}`;
}

/** So many labels from the first on, passing over those that are taken. */
export function row(first: string, many: number, taken: readonly string[]): string[] {
  const used = new Set(taken.map(canonical));
  const made: string[] = [];
  for (let label = free(first, used); made.length < many; label = free(following(label), used)) {
    made.push(label);
  }
  return made;
}

function free(label: string, used: ReadonlySet<string>): string {
  let one = label;
  while (used.has(canonical(one))) one = following(one);
  return one;
}

/** Letters before a number, the most used first, and among equals in the order of letters. */
export function heads(labels: readonly string[]): string[] {
  const uses = new Map<string, number>();
  for (const label of labels) {
    const [head = "", number] = pieces(label);
    if (number !== undefined) uses.set(head, (uses.get(head) ?? 0) + 1);
  }
  return [...uses].sort(([a, n], [b, m]) => m - n || byText(a, b)).map(([head]) => head);
}

/** The next label after the highest number of these letters; of the most used where none are given. */
export function proposed(labels: readonly string[], head?: string): string {
  const letters = head ?? heads(labels)[0] ?? FIRST;
  const numbers = labels
    .map(pieces)
    .filter(([one]) => one === letters)
    .map(([, number]) => Number(number))
    .filter((number) => !Number.isNaN(number));
  return free(`${letters}${Math.max(0, ...numbers) + 1}`, new Set(labels.map(canonical)));
}

/** What a tray is called where no tray has a name yet. (Common practice, no source.) */
const FIRST = "T";
