/** What the office says of how the field stands. */
import type { TreeRow } from "../../log/trees";

export type CountedBy = "block" | "row" | "batch" | "crop" | "day";

export interface Counted {
  readonly planted: number;
  readonly alive: number;
  readonly dead: number;
  readonly missing: number;
  readonly rootstock_only: number;
  readonly causes: Readonly<Record<string, number>>;
}

/** Days since planting, share that lives, and the bounds of its interval where there is one. */
export type Point = readonly [day: number, share: number, low: number | null, high: number | null];

export interface Curve {
  readonly looked_at: number;
  readonly until: number | null;
  readonly points: readonly Point[];
}

export interface Group extends Counted {
  readonly key: string;
  readonly curve: Curve;
}

export interface Grouped {
  readonly items: readonly Group[];
  readonly test: { readonly chi_square: number; readonly p: number } | null;
}

export interface Reserve {
  readonly batch: string;
  readonly label: string | null;
  readonly plants: number;
  readonly why: "held" | "not_released" | null;
}

export interface Filling {
  readonly holes: readonly string[];
  readonly left: readonly string[];
  readonly reserve: readonly Reserve[];
  readonly free: number;
  readonly short: number;
}

export interface Block {
  readonly id: string;
  readonly name: string;
  readonly short: string | null;
  readonly fill: string;
  readonly count_every: number;
  readonly count: { readonly first: string; readonly last: string } | null;
  readonly turn: {
    readonly months: number;
    readonly on: string;
    readonly due: boolean;
    /** Why it is not made; an older office tells none. */
    readonly skipped?: string | null;
  } | null;
  readonly rows: readonly {
    readonly number: number;
    readonly chosen: boolean;
    readonly planted: number;
    readonly alive: number;
    readonly open: number;
  }[];
  readonly estimate: {
    readonly share: number;
    readonly error: number | null;
    readonly low: number | null;
    readonly high: number | null;
  } | null;
  readonly meant: {
    readonly planned: number;
    readonly as_planned: number;
    readonly others: readonly { position: string; meant: string; planted: string }[];
    readonly empty: readonly string[];
    readonly unplanned: readonly string[];
  };
  readonly filling: Filling;
  /** An older office tells none. */
  readonly shelter?: {
    readonly rows: readonly TreeRow[];
    readonly crop: { readonly harmed: number; readonly lost: number };
  };
}

export interface Standing {
  readonly id: string;
  readonly today: string;
  readonly first: Counted;
  readonly standing: Counted;
  readonly filled: number;
  readonly harmed: number;
  readonly curve: Curve;
  readonly groups: Readonly<Record<CountedBy, Grouped>>;
  readonly blocks: readonly Block[];
}

export const TRAP_STATES = ["act", "caught", "zero", "not_readable", "late", "never"] as const;
export type TrapState = (typeof TRAP_STATES)[number];

export interface TrapTold {
  readonly trap: string;
  readonly state: TrapState;
  /** Days since it could be read; null where it never could. */
  readonly silent: number | null;
  readonly block: string | null;
  readonly hangs_at: string | null;
  /** Whether the layout of its block has that position. */
  readonly known: boolean;
  readonly on: string | null;
  /** False where it could not be read, which is no zero; null where nobody went. */
  readonly read: boolean | null;
  readonly days: number | null;
  readonly caught: Readonly<Record<string, number>>;
  readonly why: string | null;
}

export interface PestTold {
  readonly pest: string;
  readonly caught: number;
  /** Captures per trap and day. */
  readonly index: number | null;
  readonly level: number | null;
  readonly reached: boolean | null;
}

export interface Traps {
  readonly since: string;
  readonly traps: readonly TrapTold[];
  readonly read: number;
  readonly trap_days: number;
  readonly pests: readonly PestTold[];
  readonly days: readonly {
    readonly on: string;
    readonly read: number;
    readonly not_read: number;
    readonly trap_days: number;
    readonly index: Readonly<Record<string, number | null>>;
  }[];
}

export interface LookTold {
  readonly entry: string;
  readonly on: string;
  readonly by: string;
  readonly block: string;
  /** Null of a look over the block, or over several rows. */
  readonly row: number | null;
  readonly answer: "not_looked" | "nothing" | "found";
  /** How many plants were looked at; null where nobody said. */
  readonly plants: number | null;
  /** How many live in the row. */
  readonly of: number | null;
  readonly minutes: number | null;
  readonly why: string | null;
}

export interface FindTold {
  readonly entry: string;
  readonly on: string;
  readonly by: string;
  readonly block: string;
  readonly row: number | null;
  readonly positions: readonly string[];
  readonly pest: string | null;
  readonly symptom: string | null;
  readonly plants: number | null;
  readonly suspicion: boolean;
}

export interface PestLooked {
  readonly pest: string;
  /** The share of plants with it that is to be noticed, and that of them on which it is seen. */
  readonly noticed: number;
  readonly seen: number;
  readonly usual: boolean;
  /** So many plants are that share of those that stand there. */
  readonly infested: number;
  readonly confidence: number | null;
  readonly found_on: string | null;
  readonly named: boolean;
}

export interface Scouting {
  readonly since: string;
  readonly lot: number;
  readonly seen: number;
  readonly untold: number;
  readonly looks: readonly LookTold[];
  readonly finds: readonly FindTold[];
  readonly pests: readonly PestLooked[];
}

export interface PressureCounted {
  readonly as_of: string | null;
  readonly behind: number;
  readonly own_days: number;
  readonly sky_days: number;
  readonly old: boolean;
  readonly degree_days: number;
  readonly generation: number;
  readonly next_on: string | null;
  readonly missing: number;
  readonly missing_days: readonly string[];
  readonly points: readonly (readonly [on: string, sum: number | null])[];
}

export interface PestPressed {
  readonly pest: string;
  readonly source: string;
  readonly lower_c: number;
  readonly upper_c: number | null;
  readonly per_generation: number;
  readonly biofix: string | null;
  readonly counted: PressureCounted | null;
}

export interface Pressure {
  readonly today: string;
  readonly invented: boolean;
  readonly pests: readonly PestPressed[];
}
