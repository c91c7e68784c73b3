/** The bodies that a phone folds by itself; the others are kept and shown. */

export interface NewBatch {
  readonly id: string;
  readonly label: string;
  readonly place?: string | null;
  readonly stage?: string | null;
}

export interface Child extends NewBatch {
  readonly count: number;
  readonly parents?: readonly string[] | null;
}

export interface Division {
  readonly parents: readonly { readonly id: string; readonly left: number }[];
  readonly children: readonly Child[];
}

export interface Share {
  readonly id: string;
  readonly count: number;
}

export type CountMethod = "full" | "cells_less_gaps" | "estimate";

export type Fate = "died" | "culled" | "sampled" | "destroyed" | "stolen";

export interface Visitor {
  readonly name: string;
  readonly firm?: string | null;
}

interface Who {
  readonly person?: string | null;
  readonly visitor?: Visitor | null;
}

interface Checked {
  readonly check?: string | null;
}

/** Positions of one row of a block, where it has rows. */
interface Positions {
  readonly block: string;
  readonly positions: readonly string[];
  readonly row?: string | null;
}

export type Standing = "alive" | "dead" | "missing" | "rootstock_only";

export interface Seen {
  readonly position: string;
  readonly state: Standing;
  readonly cause?: string | null;
}

export interface Bodies {
  received: { readonly batches: readonly NewBatch[]; readonly place?: string | null };
  taken_on: { readonly batch: NewBatch; readonly alive: number; readonly method: CountMethod };
  sown: { readonly batch: NewBatch; readonly seeds: number };
  emerged: { readonly total: number };
  stuck: {
    readonly batch: NewBatch;
    readonly cuttings: number;
    readonly parents?: readonly string[] | null;
  };
  worked: { readonly scion?: string | null };
  split: Division;
  pricked: Division;
  mixed: Division;
  joined: Division;
  moved: { readonly to: string };
  potted: { readonly place?: string | null };
  relabelled: { readonly old: string; readonly new: string };
  stepped: object;
  counted: { readonly alive: number; readonly method: CountMethod };
  lost: {
    readonly count: number;
    readonly fate: Fate;
    readonly kept?: boolean | null;
    readonly carried?: boolean | null;
  };
  settled: {
    readonly doubt: string;
    readonly reason: string;
    readonly plants?: number | null;
    readonly fate?: Fate | null;
    readonly by?: string | null;
  };
  sent: { readonly plants: readonly Share[] };
  returned: { readonly plants: readonly Share[] };
  disposed: { readonly plants?: readonly Share[] | null };
  planted: Positions;
  refilled: Positions;
  left_empty: Positions & { readonly why?: string | null };
  surveyed: {
    readonly block: string;
    readonly seen: readonly Seen[];
    readonly row?: string | null;
  };
  carried: { readonly way: "out" | "back"; readonly plants: number; readonly block: string };
  found: { readonly suspicion: boolean };
  sampled: { readonly sample: string; readonly found?: string | null };
  resulted: { readonly sample: string; readonly verdict: string };
  looked: Checked & {
    readonly answer: string;
    readonly plants?: number | null;
    readonly minutes?: number | null;
    readonly checklist?: string | null;
    readonly why?: string | null;
  };
  trapped: Checked & {
    readonly answer: string;
    readonly catches?: readonly { readonly pest: string; readonly count: number }[] | null;
    readonly replaced?: boolean | null;
    readonly why?: string | null;
  };
  skipped: { readonly check: string };
  ordered: {
    readonly act: string;
    readonly reference: string;
    readonly lifts?: string | null;
  };
  treated: { readonly ended_at: string; readonly reentry_until?: string | null };
  entered: Who;
  left: Who;
  withdrawn: object;
}

export type Kind = keyof Bodies;
