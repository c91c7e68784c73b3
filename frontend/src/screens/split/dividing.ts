/** A division as it stands in its form: who gives, who gets, and what every one has after it. */
import { common, divided, leftOver, type Giver, type Taker } from "../../log/divide";
import type { Draft } from "../../log/write";
import type { KeptBatch } from "../../shelf/folding";

/** A new batch in a form; `count` as it is typed. */
export interface Part {
  id: string;
  label: string;
  count: string;
}

/** A batch and how many it has after the act, as a row of the form shows it. */
export interface Portion {
  readonly id: string;
  readonly label: string;
  readonly shape: "tray" | "mixed" | "pots";
  readonly says: string;
  /** As typed; empty as long as nobody typed it. */
  readonly figure: string;
  /** Whether its label may be chosen here. */
  readonly fresh?: boolean;
}

export function figure(text: string): number | null {
  return text === "" ? null : Number(text);
}

/** The sum of typed figures; null as long as one is missing. */
export function sumOf(texts: readonly string[]): number | null {
  return texts.reduce<number | null>((sum, text) => {
    const n = figure(text);
    return sum === null || n === null ? null : sum + n;
  }, 0);
}

/** What stays in a batch that gives the rest away, if nothing got lost; empty where nobody knows. */
export function rest(alive: number | null, parts: readonly Part[]): string {
  const taken = sumOf(parts.map(({ count }) => count));
  return alive === null || taken === null ? "" : String(Math.max(0, alive - taken));
}

/** Plants of some batches together by their accounts; null where one was never counted. */
export function aliveOf(batches: readonly Pick<KeptBatch, "alive">[]): number | null {
  return batches.reduce<number | null>(
    (sum, { alive }) => (sum === null || alive === null ? null : sum + alive),
    0,
  );
}

/** What a batch that gives has left. */
export interface Left {
  readonly batch: KeptBatch;
  readonly left: number;
}

/** What new batches begin with: all that those which give have in common. */
export function begun(givers: readonly KeptBatch[], part: Part, cells: number | null): Taker {
  const count = Number(part.count);
  return {
    ...{ id: part.id, label: part.label, count },
    place: common(givers.map(({ place }) => place)) ?? givers[0]?.place ?? null,
    stage: common(givers.map(({ stage }) => stage)) ?? givers[0]?.stage ?? null,
    crop: common(givers.map(({ crop }) => crop)),
    container: common(givers.map(({ container }) => container)),
    cells: cells !== null && count <= cells ? cells : null,
  };
}

export function draftOf(
  kind: "split" | "mixed" | "joined",
  lefts: readonly Left[],
  takers: readonly Taker[],
): Draft {
  return divided(kind, lefts.map(giverOf), takers);
}

export function over(lefts: readonly Left[], takers: readonly Taker[]): number | null {
  return leftOver(lefts.map(giverOf), takers);
}

function giverOf({ batch, left }: Left): Giver {
  return { id: batch.id, left, alive: batch.alive };
}
