/** What the office gives of the rows that records name, and what it is told of them. */
import type { Held } from "../../log/in-use";
import type { Key } from "../../words/catalogue";
import type { Row } from "../permits/shapes";
import type { ProfileBody } from "./profile";

/** A text in one language. */
export interface Said {
  readonly language: string;
  readonly text: string;
}

export interface NamedBody extends Held {
  readonly name: string;
  /** In languages in which it has another name. */
  readonly called?: readonly Said[];
}

/** How warmth carries a pest: thresholds [°C], degree-days of one generation, and from where. */
export interface DevelopsBody {
  readonly lower_c: number;
  readonly generation_dd: number;
  readonly source: string;
  readonly upper_c?: number | null;
  readonly biofix?: string | null;
}

export interface PestBody extends NamedBody {
  readonly code?: string | null;
  readonly botanical?: string | null;
  readonly hosts?: readonly string[];
  readonly act_from?: number | null;
  readonly noticed?: number | undefined;
  readonly seen?: number | undefined;
  readonly develops?: DevelopsBody | null;
}

/** What is known of a crop in one container, by the name that potting writes. */
export interface Pot {
  readonly container: string;
  readonly source: string;
  readonly full_days?: number | null;
  readonly per_m2?: number | null;
}

export interface CropBody extends NamedBody {
  readonly botanical?: string | null;
  readonly cultivar?: string | null;
  readonly pots?: readonly Pot[];
  readonly profile?: ProfileBody | null;
}

/** One line of a checklist; of each batch so many plants are looked at for it, or all. */
export interface Asked {
  readonly id: string;
  readonly says: readonly Said[];
  readonly plants?: number | null;
}

export interface ListBody extends NamedBody {
  readonly version: number;
  readonly items: readonly Asked[];
  readonly asked_at?: string;
}

export const KINDS = ["pest", "crop", "seed_lot", "checklist", "program"] as const;
export type Kind = (typeof KINDS)[number];

export const SIGNS: Readonly<Record<Kind, string>> = {
  pest: "found",
  crop: "plant",
  seed_lot: "weigh",
  checklist: "look-over",
  program: "harden",
};

export function isKind(text: string): text is Kind {
  return (KINDS as readonly string[]).includes(text);
}

/** What this sheet shows at an address that names no row. */
export const NEW = "new";

/** What is wrong with what was typed, by the field it stands in. */
export interface Wrong {
  readonly field: string;
  readonly value: string | null;
  /** What is said of it, where that it cannot be is too little. */
  readonly says?: Key;
}

export interface Table {
  readonly rows: readonly Row<NamedBody>[];
  readonly crops: readonly Row<NamedBody>[];
  /** What phones named and no row describes. */
  readonly undescribed: readonly string[];
  /** Which permits and rules list a pest, and since when. */
  readonly listings: readonly Listing[];
  /** What is commonly known of crops, to start from. */
  readonly starts: readonly ProfileBody[];
}

export interface Listing {
  readonly pest: string;
  readonly since: string;
  /** The permit; empty for a rule of the nursery's own. */
  readonly permit: string;
}
