/** The office's outlook, as far as a phone asks it what stands against work. */
import type { GateRow } from "./gate";

/** What the office says holds a batch. */
export interface ToldHold {
  readonly by: string;
  readonly reference: string;
  readonly since: string;
  readonly provisional: boolean;
  readonly orders?: readonly string[];
  readonly place?: string | null;
}

export interface ToldBatch {
  readonly held: readonly ToldHold[];
  readonly gates: readonly ToldGate[];
}

export interface ToldGate extends GateRow {
  readonly act: string;
  /** The grower may sign against it. */
  readonly override_allowed: boolean;
}

export interface ToldPlace {
  readonly entering: GateRow;
  /** Of a room that plants go in and out of together. */
  readonly accepting?: ToldGate;
  readonly emptying?: ToldGate;
  readonly people: Readonly<Record<string, GateRow>>;
  readonly reentry_until: string | null;
}

/** The office's outlook, as far as it is asked here. */
export interface Told {
  readonly batches: Readonly<Record<string, ToldBatch>>;
  readonly places: Readonly<Record<string, ToldPlace>>;
  readonly incidents: readonly { readonly id: string }[];
}
