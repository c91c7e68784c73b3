/** What the office says of how the field stands. */

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
  readonly turn: { readonly months: number; readonly on: string; readonly due: boolean } | null;
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
