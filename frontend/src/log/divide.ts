/**
 * Batches that give plants to others: a split, a join, or labels lost. One record about all of them
 * carries everything (rules L-4, L-11).
 */
import type { Draft } from "./write";

/** A batch that gives: how many it has left, and how many lived by its account before. */
export interface Giver {
  readonly id: string;
  readonly left: number;
  /** Null as long as nobody counted. */
  readonly alive: number | null;
}

/** A batch that gets plants, with what a new one begins with. What is null is left out. */
export interface Taker {
  readonly id: string;
  readonly label: string;
  readonly count: number;
  readonly place?: string | null;
  readonly stage?: string | null;
  readonly crop?: string | null;
  readonly container?: string | null;
  readonly cells?: number | null;
}

export function divided(
  kind: "split" | "mixed" | "joined",
  givers: readonly Giver[],
  takers: readonly Taker[],
): Draft {
  return {
    kind,
    about: [...new Set([...givers, ...takers].map(({ id }) => id))],
    body: {
      parents: givers.map(({ id, left }) => ({ id, left })),
      children: takers.map(given),
    },
  };
}

/**
 * Plants that the figures leave over: they lived before and are in no batch after it. Below zero
 * where there are too many; null where a batch that gives was never counted.
 */
export function leftOver(givers: readonly Giver[], takers: readonly Taker[]): number | null {
  let over = 0;
  for (const { alive, left } of givers) {
    if (alive === null) return null;
    over += alive - left;
  }
  return takers.reduce((rest, { count }) => rest - count, over);
}

/** What all of them have in common; null where they differ. */
export function common<T>(values: readonly (T | null)[]): T | null {
  const [first = null, ...others] = values;
  return others.every((value) => value === first) ? first : null;
}

function given(taker: Taker): Record<string, unknown> {
  return Object.fromEntries(Object.entries(taker).filter(([, value]) => value !== null));
}
