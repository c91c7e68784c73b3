/** What the office works out for phones, as of one line of the feed, for some weeks ahead. */
import type { Told } from "../log/afield";
import type { GateRow } from "../log/gate";
import type { Program, Told as ToldToughening } from "../log/toughening";
import type { Clock, Doubt, Hold, Notice, Sample } from "./views";

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

export interface Gate extends GateRow {
  readonly act: string;
  readonly override_allowed: boolean;
}

export interface BatchOutlook {
  readonly label: string | null;
  readonly clock: Clock | null;
  readonly gates: readonly Gate[];
  readonly held: readonly Hold[];
  /** Those that only the whole book can raise. */
  readonly doubts: readonly Doubt[];
  /** Those of its own records that were open then. */
  readonly own_doubts?: readonly Doubt[];
  readonly samples: readonly Sample[];
  /** Since which day it stands under how much shade. */
  readonly shades?: readonly { readonly on: string; readonly percent: number }[];
}

export interface PlaceOutlook {
  readonly entering: Gate;
  /** Of a room that plants go in and out of together. */
  readonly accepting?: Gate;
  readonly emptying?: Gate;
  readonly reentry_until: string | null;
  /** Of each person, where an order admits only some. */
  readonly people: Readonly<Record<string, GateRow>>;
  readonly doubts: readonly Doubt[];
  readonly traps: Readonly<Record<string, unknown>> | null;
  readonly benches?: Benches | null;
}

/** Benches of a room; nothing is said of what is taken where no crop's row says how much it needs. */
export interface Benches {
  readonly m2: number;
  readonly taken: number | null;
}

export interface Ringed {
  readonly place: string;
  readonly people: readonly string[];
  readonly things?: readonly string[];
}

/** A find or a breach; `ring` are places where its people worked, or its tools or water are used. */
export interface Incident {
  readonly id: string;
  readonly kind: string;
  readonly at: string;
  readonly by: string;
  readonly about: readonly string[];
  readonly rooms: readonly string[];
  readonly open: boolean;
  readonly provisional: boolean;
  readonly exposed: readonly string[];
  readonly ring: readonly Ringed[];
  readonly lifted_by: string | null;
}

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
  /** What an older office has not worked out. */
  readonly toughening?: Toughening;
  /** Planting days that come, by group; an office of an older version tells none. */
  readonly planting?: readonly Told[];
}

/** A program of toughening, with the light under each of its steps today [mol m-2 d-1]. */
export interface ToldProgram extends Program {
  readonly name: string;
  readonly source: string;
  /** Empty where nobody typed where the nursery lies. */
  readonly light: readonly number[];
}

export interface Toughening {
  readonly programs: Readonly<Record<string, ToldProgram>>;
  readonly batches: Readonly<Record<string, ToldToughening>>;
}
