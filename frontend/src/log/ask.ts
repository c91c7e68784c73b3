/** Figures that are asked about once more before they are kept. Nothing is refused. */
import type { Ledger } from "./batch";

/** Losses above this share of what lives are asked about once more. (Choice of the product.) */
const MUCH = 0.1;

export interface Counting {
  readonly alive: number;
  readonly cells: number | null;
  readonly gaps: number | null;
  /** How many plants ever came in; null where nobody knows. */
  readonly ever: number | null;
}

export type CountDoubt = "gaps" | "cells" | "ever";

/** What cannot be: more gaps than cells, more plants than cells, more than ever came in. */
export function oddCount({ alive, cells, gaps, ever }: Counting): CountDoubt | null {
  if (cells !== null && gaps !== null && gaps > cells) return "gaps";
  if (cells !== null && alive > cells) return "cells";
  return ever !== null && alive > ever ? "ever" : null;
}

export interface Known {
  /** Null as long as nobody counted. */
  readonly alive: number | null;
  readonly estimated: boolean;
  readonly stage: string | null;
  readonly ledger: Ledger;
}

/** Plants that ever came into a batch; null where nobody counted, or where more may still come up. */
export function everIn({ alive, estimated, stage, ledger }: Known): number | null {
  if (alive === null || estimated || stage === "seed" || stage === "seedlings") return null;
  return (["split", "joined", "mixed", "sent"] as const).reduce(
    (sum, way) => sum + Math.max(0, -ledger[way]),
    ledger.in,
  );
}

export type LossDoubt = "more" | "much";

/** More than lives, or above a tenth of the tray. Where nobody counted there is nothing to hold it to. */
export function oddLoss(count: number, alive: number | null): LossDoubt | null {
  if (alive === null) return null;
  if (count > alive) return "more";
  return count > alive * MUCH ? "much" : null;
}
