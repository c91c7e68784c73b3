/** How plants of a block were looked over, and what that says of each pest. */
import type { Key } from "../../words/catalogue";
import type { Params } from "../../words/forms";
import type { FindTold, LookTold, PestLooked, Scouting } from "./shapes";

/** A line of the list: a look with what it found, or a find that belongs to no look of its row. */
export interface LookLine {
  readonly key: string;
  readonly on: string;
  readonly by: string;
  readonly block: string;
  readonly row: number | null;
  readonly look: LookTold | null;
  readonly finds: readonly FindTold[];
}

type Spot = Pick<LookLine, "on" | "block" | "row">;

const isAt = (a: Spot, b: Spot): boolean => a.on === b.on && a.block === b.block && a.row === b.row;

/** Looks newest first, each with the finds of its row and day; a find is told once. */
export function lookLines({ looks, finds }: Pick<Scouting, "looks" | "finds">): LookLine[] {
  const left = new Set(finds);
  const lines: LookLine[] = looks.map((look) => {
    const its = look.answer === "found" ? [...left].filter((find) => isAt(find, look)) : [];
    for (const find of its) left.delete(find);
    const { entry, on, by, block, row } = look;
    return { key: entry, on, by, block, row, look, finds: its };
  });
  const loose = [...left].map((find): LookLine => {
    const { entry, on, by, block, row } = find;
    return { key: entry, on, by, block, row, look: null, finds: [find] };
  });
  return [...lines, ...loose].sort((a, b) => b.on.localeCompare(a.on));
}

/** Binary fractions lie a hair below what they stand for: 0.57 of 100 is 57. */
const SLACK = 1e-9;

/** Confidence in percent, never more than there is. */
export const surely = (confidence: number): number => Math.floor(confidence * 100 + SLACK);

/** Shares down to one plant in ten thousand. */
export const share = (part: number): number => Math.round(part * 10_000) / 100;

interface Sentence {
  readonly key: Key;
  readonly params: Params;
}

/** What looking says of a pest: found, too few plants to say, nobody looked, or how surely. */
export function sentenceOf(
  pest: PestLooked,
  { lot, seen, untold }: Pick<Scouting, "lot" | "seen" | "untold">,
  name: string,
): Sentence {
  if (pest.found_on !== null) {
    const key = pest.named ? "scout.was_found" : "scout.may_be";
    return { key, params: { name, on: pest.found_on } };
  }
  const part = { name, share: share(pest.noticed) };
  if (pest.infested === 0) return { key: "scout.too_few", params: { ...part, n: lot } };
  if (seen === 0 || pest.confidence === null) {
    return { key: untold > 0 ? "scout.nobody_told" : "scout.nobody", params: { name } };
  }
  return { key: "scout.sure", params: { ...part, lot, n: seen, sure: surely(pest.confidence) } };
}

/** Whether a figure stands behind what is said, so that its assumptions are to be told too. */
export function isReckoned({ found_on, confidence, infested }: PestLooked): boolean {
  return found_on === null && confidence !== null && infested > 0;
}
