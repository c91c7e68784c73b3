/** The release file of a consignment, as the office works it out. */
import type { Ledger } from "../log/batch";
import type { Ringed } from "./outlook";
import type { Clock, Doubt, Hold, Notice, Reason } from "./views";

/** A record that stands, as the book has it. */
export interface Happened {
  readonly entry: string;
  readonly seq: number;
  readonly kind: string;
  readonly at: string;
  readonly about: readonly string[];
  readonly by: string;
  readonly confirmed: boolean;
  readonly corrected: boolean;
  readonly body: Readonly<Record<string, unknown>>;
}

/** Found, nothing, part, not done, blank, or still running. */
export type WeekAnswer = "found" | "nothing" | "part" | "not_done" | "blank" | "running";

export interface LookDone {
  readonly batch: string;
  readonly entry: string;
  readonly at: string;
  readonly by: string;
  readonly answer: "nothing" | "found" | "not_looked";
  readonly plants: number | null;
  readonly minutes: number | null;
  readonly why: string | null;
}

export interface Week {
  readonly from: string;
  readonly to: string;
  readonly answer: WeekAnswer;
  readonly batches: number;
  readonly done: number;
  readonly minutes: number;
  readonly plants: number;
  readonly by: readonly string[];
  readonly found_in: readonly string[];
  readonly not_done: readonly {
    readonly batch: string;
    readonly why: string | null;
    readonly entry: string | null;
    readonly accepted: string | null;
  }[];
  readonly looks: readonly LookDone[];
}

export interface Version extends Omit<Happened, "corrected"> {
  readonly written_at: string;
  readonly received_at: string;
  readonly why: string | null;
  readonly withdrawn: boolean;
}

export interface Correction {
  readonly line: string;
  readonly stands: string | null;
  readonly versions: readonly Version[];
}

export interface FileClock extends Clock {
  readonly batches: readonly string[];
  readonly permits: readonly string[];
  readonly days: number;
  readonly reasons: readonly Reason[];
  readonly met: readonly Reason[];
  readonly released: Readonly<Record<string, unknown>> | null;
}

export interface FileIncident {
  readonly id: string;
  readonly kind: string;
  readonly at: string;
  readonly about: readonly string[];
  readonly rooms: readonly string[];
  readonly open: boolean;
  readonly exposed: readonly string[];
  readonly ring: readonly Ringed[];
  /** How long the room may have been open: no minutes until it is mended, nor without a last check. */
  readonly breach: {
    readonly entry: string;
    readonly mended_at: string | null;
    readonly minutes: number | null;
  } | null;
}

export interface FileBatch {
  readonly id: string;
  readonly label: string | null;
  readonly crop: string | null;
  readonly place: string | null;
  readonly alive: number | null;
  readonly closed: boolean;
  readonly began_at: string | null;
  readonly stage: string | null;
  readonly one_of_parents: boolean;
  readonly parents: readonly string[];
  readonly bag?: Readonly<Record<string, number>>;
  readonly held: readonly Hold[];
}

type Balance = Ledger & { readonly difference: number };

/** What came under a permit with one consignment; of another than the file's, where it is now. */
export interface UnderPermit {
  readonly consignment: string | null;
  readonly in: number;
  readonly alive: number;
  readonly batches: readonly {
    readonly batch: string;
    readonly place: string | null;
    readonly alive: number | null;
  }[];
}

export interface FilePermit {
  readonly id: string;
  readonly most_plants?: number | null;
  readonly consignments?: readonly UnderPermit[];
}

/** Who may go into a room now; without an order whoever works in the nursery. */
export interface Admitted {
  readonly place: string;
  readonly orders: readonly string[];
  readonly people: readonly string[];
}

/** A figure of a room in one month: how far it went, and how often it was read. */
export interface Readings {
  readonly month: string;
  readonly place: string;
  readonly what: string;
  readonly days: number;
  readonly readings: number;
  readonly low: number;
  readonly high: number;
}

/** Days that count only as the room was, by which demand and how many in each month. */
export interface CountedDays {
  readonly batches: readonly string[];
  readonly term: string;
  readonly source: string;
  readonly rule: "generations" | "qualifying_days";
  /** The pest whose warmth is counted, or the figure that makes a day count. */
  readonly of: string;
  readonly wanted: number | null;
  readonly months: readonly {
    readonly month: string;
    readonly days: number;
    readonly unknown: number;
    readonly gained: number;
    readonly total: number;
  }[];
}

/** The lists of records, by what they are about. */
export type Lists = Readonly<
  Record<
    | "arrivals"
    | "counts"
    | "losses"
    | "finds"
    | "samples"
    | "orders"
    | "treatments"
    | "inspections"
    | "acceptances"
    | "notified"
    | "bag"
    | "ways"
    | "room"
    | "not_done"
    | "exceptions"
    | "releases"
    | "visits"
    | "traps",
    readonly Happened[]
  >
>;

export interface ReleaseFile extends Lists {
  readonly on: string;
  readonly nursery: { readonly name?: string } & Readonly<Record<string, unknown>>;
  readonly consignment: { readonly id: string } & Readonly<Record<string, unknown>>;
  readonly permits: readonly FilePermit[];
  /** How many plants to look at, by the look; a file that a phone kept earlier may lack it. */
  readonly plans?: Readonly<Record<string, { readonly why: Reason }>>;
  readonly admitted?: readonly Admitted[];
  readonly account: { readonly batches: readonly string[] } & Readonly<Record<string, unknown>>;
  readonly ledger: readonly ({ readonly batches: readonly string[] } & Balance)[];
  readonly batches: readonly FileBatch[];
  readonly clocks: readonly FileClock[];
  readonly looks: {
    readonly over: number;
    readonly done: number;
    readonly not_done: number;
    readonly weeks: readonly Week[];
  };
  readonly incidents: readonly FileIncident[];
  /** What a phone keeps of a file that was worked out earlier may lack both. */
  readonly readings?: readonly Readings[];
  readonly counted_days?: readonly CountedDays[];
  readonly corrections: readonly Correction[];
  readonly photos: readonly Readonly<Record<string, unknown>>[];
  readonly notices: readonly Notice[];
  readonly open: readonly ({ readonly batch: string } & Doubt)[];
  /** What people call what the file mentions, by type and id; of a person also the role. */
  readonly names: Readonly<Record<string, Readonly<Record<string, unknown>>>>;
}
