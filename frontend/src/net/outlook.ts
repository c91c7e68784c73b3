/** What the office works out for phones, as of one line of the feed, for some weeks ahead. */
import type { GateRow } from "../log/gate";
import type { Clock, Doubt, Hold, Notice, Reason, Sample } from "./views";

/** Something to be done between two instants, both included. */
export interface Check {
  readonly id: string;
  readonly kind: string;
  readonly subject: string;
  readonly opens_at: string;
  readonly due_by: string;
  readonly term: string | null;
  readonly source: string | null;
  readonly answered_by: string | null;
  readonly skipped_by: string | null;
  readonly why: string | null;
  readonly accepted_by: string | null;
  readonly params: Readonly<Record<string, unknown>>;
}

/** A gate with what would open it; `opens_at` is when a wait is over by itself. */
export interface Gate extends GateRow {
  readonly opens: Reason | null;
  readonly opens_at: string | null;
  readonly override_allowed: boolean;
}

export interface BatchOutlook {
  readonly label: string | null;
  readonly clock: Clock | null;
  readonly gates: readonly Gate[];
  readonly held: readonly Hold[];
  readonly doubts: readonly Doubt[];
  readonly samples: readonly Sample[];
}

export interface PlaceOutlook {
  readonly entering: Gate;
  readonly reentry_until: string | null;
  readonly people: Readonly<Record<string, Gate>>;
  readonly doubts: readonly Doubt[];
  readonly traps: Readonly<Record<string, unknown>> | null;
}

export type Incident = Readonly<Record<string, unknown>>;

export interface Outlook {
  readonly as_of_seq: number;
  readonly made_at: string;
  readonly from: string;
  readonly to: string;
  readonly batches: Readonly<Record<string, BatchOutlook>>;
  readonly places: Readonly<Record<string, PlaceOutlook>>;
  readonly incidents: readonly Incident[];
  readonly checks: readonly Check[];
  readonly consignments: readonly Readonly<Record<string, unknown>>[];
  readonly notices: readonly Notice[];
  readonly look_alikes: readonly (readonly [string, string])[];
}
