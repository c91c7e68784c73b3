/** What the office gives of a place. */
import type { PlaceOutlook } from "../../net/outlook";

export interface VisitView {
  readonly who: string;
  readonly visitor: boolean;
  readonly since: string;
  readonly until: string | null;
}

export interface FigureView {
  readonly at: string;
  readonly what: string;
  readonly value: number;
}

export interface OrderView {
  readonly entry: string;
  readonly at: string;
  readonly act: string;
  readonly reference: string;
  readonly paper: boolean;
  readonly days?: number | null;
  readonly not_before?: string | null;
}

export interface PlaceView {
  readonly id: string;
  readonly inside: readonly VisitView[];
  readonly visits: readonly VisitView[];
  readonly reentry_until: string | null;
  readonly holds: Readonly<Record<string, string>>;
  readonly breaches: Readonly<Record<string, string>>;
  /** What is empty is left out. */
  readonly record: {
    readonly figures?: readonly FigureView[];
    readonly orders?: readonly OrderView[];
  };
  readonly outlook: PlaceOutlook | null;
}

/** How many traps a room has, how many it should have, and by which area that was counted. */
export interface TrapsView {
  readonly have: number;
  readonly number: number;
  readonly area: "floor" | "bench";
  readonly m2: number;
  /** What the other area would ask for; null where nobody measured it. */
  readonly by_other_area: number | null;
}
