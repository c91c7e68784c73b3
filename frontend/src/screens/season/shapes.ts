/** What the office says of the season: the sheet as it comes. */
import type { Reason } from "../../net/views";
import type { Spell } from "../../log/weeks";

export interface Season {
  readonly as_of_seq: number;
  readonly today: string;
  /** Something was written since it was worked out. */
  readonly stale: boolean;
  readonly weather: Weather | null;
  readonly weeks: readonly SetWeeks[];
  readonly odds: Odds | null;
  /** Whether somebody has said what soil and hole are here. */
  readonly site: boolean;
  /** What money is counted in; empty where nobody wrote it. */
  readonly currency: string | null;
  readonly items: readonly Item[];
}

export interface Weather {
  readonly series: string;
  readonly years: number;
  readonly enough: boolean;
  /** Rain is there for long enough, lows and highs are not. */
  readonly lacks_warmth?: boolean;
  readonly invented: boolean;
  readonly first: string;
  readonly last: string;
}

export interface SetWeeks extends Spell {
  readonly main: boolean;
  readonly set_by?: string | null;
  readonly set_on?: string | null;
}

export interface Odds {
  readonly follow_up_days: number;
  readonly years: number;
  /** Parts for which there is no record. */
  readonly without: readonly string[];
  /** Weeks by the odds: days of a year. */
  readonly windows: readonly Spell[];
  readonly days: readonly DayOdds[];
}

type Figure = number | null;

/** One day of the year: how good it was for planting, from 0 to 1, and its parts. */
export interface DayOdds {
  readonly day: string;
  readonly score: Figure;
  readonly low: Figure;
  readonly high: Figure;
  readonly wet: Figure;
  readonly holds: Figure;
  readonly stress_days: Figure;
  readonly hot_days: Figure;
  readonly windy_days: Figure;
  readonly years: number;
}

export interface Item {
  readonly id: string;
  readonly kind: "consignment" | "crop";
  /** Absent in what was kept before batches were told. */
  readonly batches?: readonly string[] | undefined;
  /** The first day on which one of its batches was here. */
  readonly began_on: string | null;
  readonly name: string;
  readonly crop: string | null;
  readonly alive: number;
  readonly holes: number | null;
  readonly clock: Clock | null;
  readonly free_on: string | null;
  readonly plant_on: string | null;
  readonly weeks: Spell | null;
  readonly says: readonly Reason[];
  readonly readiness: Readiness;
  readonly pots_full_on: string | null;
  readonly container: string | null;
  readonly toughening_days: number | null;
  /** The day on which the first of them were brought to the sun. */
  readonly toughening_since?: string | null;
  readonly labour: Labour;
  readonly blocks: readonly Block[];
  readonly delays: readonly Delay[];
}

export interface Clock {
  readonly earliest: string | null;
  readonly notice_from: string | null;
  readonly released: boolean;
  /** It holds only if what is still to come goes well. */
  readonly if: boolean;
}

export type State = "waiting" | "forecast" | "not_enough" | "no_prior" | "no_minimum" | "ready";

export interface Fan {
  readonly on: string;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

export interface Readiness {
  readonly state: State;
  readonly early: string | null;
  readonly day: string | null;
  readonly late: string | null;
  /** Which part of the plants is big enough today, and which part must be. */
  readonly reached: number | null;
  readonly share: number | null;
  readonly measured: readonly {
    readonly on: string;
    readonly n: number;
    readonly means: Readonly<Record<string, number>>;
  }[];
  readonly minimum: Readonly<Record<string, number>>;
  /** Measures whose curve is from memory; absent in what was kept before it was told. */
  readonly usual_curves?: readonly string[] | undefined;
  readonly fan: Readonly<Record<string, readonly Fan[]>>;
}

export interface Labour {
  readonly plants: number;
  readonly per_person_day: number | null;
  readonly person_days: number | null;
  readonly booked: readonly { readonly on: string; readonly people: number }[];
}

export interface Block {
  readonly id: string;
  readonly name: string;
  readonly holes: number | null;
  readonly pits_ready: number | null;
  readonly shelter_cm: number | null;
  readonly shelter_wanted_cm: number | null;
}

export type Code = "nothing" | "fewer_days" | "season" | "cannot_tell";

/** What follows if release comes so many weeks later. */
export interface Delay {
  readonly weeks: number;
  readonly free_on: string | null;
  readonly plant_on: string | null;
  readonly seasons: number | null;
  readonly odds: Figure;
  readonly days_left: Figure;
  readonly pots_full_weeks: Figure;
  readonly cost: Cost | null;
  readonly code: Code;
}

export interface Cost {
  /** Null is what cannot be said: a price or an amount is missing. */
  readonly plants: Figure;
  readonly hours: Figure;
  readonly pots: Figure;
  readonly total: number;
}
