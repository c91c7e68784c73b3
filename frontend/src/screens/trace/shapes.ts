/** What the office says of a trace, as `GET /trace` has it. */
export interface Sight {
  readonly on: string;
  readonly state: string;
  readonly cause: string | null;
}

export interface Plant {
  readonly position: string;
  readonly batch: string;
  readonly on: string;
  readonly first: boolean;
  readonly state: string;
  readonly cause: string | null;
  readonly seen: readonly Sight[];
}

export interface Stood {
  readonly block: string;
  readonly plants: readonly Plant[];
}

export interface Hold {
  /** An order, one about a place or the ground, a find, a breach. */
  readonly by: string;
  readonly reference: string;
  readonly place: string | null;
  /** Those that replaced a find's or a breach's own hold. */
  readonly orders: readonly string[];
  readonly since: string;
  readonly paper: boolean;
}

interface Days {
  readonly since: string;
  readonly until: string | null;
}

export type Sums = Readonly<
  Record<"positions" | "alive" | "gone" | "reserve" | "sent" | "receivers" | "replaced", number>
>;

export interface Trace {
  readonly of: readonly string[];
  readonly at: string;
  readonly as_of_seq: number;
  readonly asked: readonly string[];
  readonly made: readonly string[];
  readonly back: readonly string[];
  readonly consignments: readonly string[];
  readonly sums: Sums;
  readonly field: readonly Stood[];
  readonly before: readonly Stood[];
  readonly reserve: Readonly<Record<string, number>>;
  readonly ended: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly sent: readonly {
    readonly entry: string;
    readonly batch: string;
    readonly receiver: string;
    readonly plants: number;
    readonly on: string;
    readonly paper: string | null;
  }[];
  readonly people: readonly (Days & { readonly who: string })[];
  readonly rooms: readonly (Days & { readonly place: string })[];
  readonly things: readonly { readonly thing: string; readonly rooms: readonly string[] }[];
  readonly held: Readonly<Record<string, readonly Hold[]>>;
  readonly calls: readonly {
    readonly at: string;
    readonly by: string;
    readonly asked_by: string | null;
    readonly reason: string | null;
    readonly reference: string | null;
  }[];
  readonly told: readonly {
    readonly at: string;
    readonly who: string;
    readonly how: string;
    readonly reference: string | null;
  }[];
  readonly names: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

export interface Start {
  readonly start: string;
  readonly kind: string;
  readonly says: string;
  /** The old label by which a batch was found. */
  readonly was?: string;
}

export interface Drill {
  readonly id: string;
  readonly at: string;
  readonly by: string;
  readonly about: readonly string[];
  readonly seconds: number;
  readonly positions: number;
  readonly reserve: number;
}
