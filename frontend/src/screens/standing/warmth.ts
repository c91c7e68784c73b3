/** How far warmth has carried a pest, in sentences and as a line against its generations. */
import type { Level } from "../../parts/chart";
import type { Key } from "../../words/catalogue";
import type { Params } from "../../words/forms";
import type { PestPressed, PressureCounted } from "./shapes";

interface Sentence {
  readonly key: Key;
  readonly params: Params;
  /** What whoever reads has to do something about. */
  readonly wait?: boolean;
}

/** More lines than that would hide each other: the next generation and those just before it. */
const MOST_LINES = 4;

/** Degree-days are never told as more than there were. */
export const whole = (degreeDays: number): number => Math.floor(degreeDays + 1e-9);

/** What is said of a pest first: how many degree-days, or why nobody knows. */
export function toldOf({ biofix, counted }: PestPressed, name: string, today: string): Sentence {
  if (biofix === null) return { key: "pressure.no_biofix", params: { name }, wait: true };
  if (counted === null) return { key: "pressure.ahead", params: { name, on: biofix } };
  if (counted.as_of === null) {
    if (biofix === today) return { key: "pressure.nought", params: { name } };
    return { key: "pressure.no_weather", params: { name }, wait: true };
  }
  const { degree_days, generation, as_of } = counted;
  return {
    key: "pressure.told",
    params: { name, n: whole(degree_days), on: biofix, generation, as_of },
  };
}

/** When the next generation is expected, and what lacks in the figures. */
export function besideOf(counted: PressureCounted, today: string): Sentence[] {
  if (counted.as_of === null) return [];
  const { next_on: next, behind, missing, missing_days, old, own_days, sky_days } = counted;
  const told: (Sentence | false)[] = [
    next === null
      ? { key: "pressure.no_next", params: {} }
      : next <= today
        ? { key: "pressure.next_over", params: { on: next }, wait: true }
        : { key: "pressure.next", params: { on: next } },
    behind > 0 && { key: "pressure.behind", params: { n: behind }, wait: true },
    missing > 0 && {
      ...({ key: "pressure.missing", wait: true } as const),
      params: { n: missing, first: missing_days[0] },
    },
    old && { key: "pressure.old", params: {}, wait: true },
    { key: "pressure.by", params: { own: own_days, sky: sky_days } },
  ];
  return told.filter((one) => one !== false);
}

/** The lines at which generations begin, up to the next one. */
export function generationLines(
  { per_generation: each }: Pick<PestPressed, "per_generation">,
  { generation }: Pick<PressureCounted, "generation">,
  says: (generation: number) => string,
): Level[] {
  const first = Math.max(1, generation - MOST_LINES + 1);
  return Array.from({ length: generation - first + 1 }, (_, i) => ({
    y: (first + i) * each,
    says: says(first + i + 1),
  }));
}
