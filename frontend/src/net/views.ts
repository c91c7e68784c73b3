/**
 * What the office gives.
 *
 * Shapes come from the API's description where it tells them (`npm run types`); what it calls an
 * object of any kind is written down here.
 */
import type { BatchJson } from "../log/batch";
import type { components } from "./api";

export type Ping = components["schemas"]["Ping"];
export type Who = components["schemas"]["Who"];

export interface Page<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

export interface Doubt {
  readonly id: string;
  readonly code: string;
  readonly weight: "blocking" | "note";
  readonly entries: readonly string[];
  readonly params: Readonly<Record<string, unknown>>;
  readonly settled_by: string | null;
}

/** Why a batch is held: by an order, or by what it shared with a find. */
export interface Hold {
  readonly by: string;
  readonly reference: string;
  readonly since: string;
  readonly provisional: boolean;
}

/** Why a day stands, or what it still wants: a code with its words under `reason.` */
export interface Reason {
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** The legal clock: `unmet` is what the release still asks for, `only_if` what the day rests on. */
export interface Clock {
  readonly started_on: string | null;
  readonly earliest: string | null;
  readonly only_if?: Reason | null;
  /** How the day came about. */
  readonly reasons?: readonly Reason[];
  readonly unmet?: readonly Reason[];
  /** What moved the day, and by how much. */
  readonly moved?: readonly Reason[];
  /** What the release asks for and has. */
  readonly met?: readonly Reason[];
  /** Until when what is met stays good. */
  readonly lapses?: readonly Reason[];
}

/** `state` is `in_transit`, or what the laboratory says. */
export interface Sample {
  readonly sample: string;
  readonly at: string;
  readonly laboratory: string | null;
  readonly find: string | null;
  readonly state: string;
  readonly result_due?: string | null;
}

/** What follows for a batch: forecasts, worked out by the office. */
export interface Outlook {
  readonly clock: Clock | null;
  readonly held: readonly Hold[];
  readonly doubts: readonly Doubt[];
  readonly samples?: readonly Sample[];
  /** Planting weeks that are lost or come, and when the pots are full. */
  readonly season?: readonly Reason[];
  /** The first day on which it can be planted, and the planting weeks that this day lies in. */
  readonly plant?: { readonly on: string; readonly first: string; readonly last: string } | null;
  /** Since which day it stands under how much shade. */
  readonly shades?: readonly { readonly on: string; readonly percent: number }[];
}

export interface BatchView extends BatchJson {
  readonly crop: string | null;
  readonly consignment: string | null;
  readonly container: string | null;
  readonly cells: number | null;
  readonly one_of_parents: boolean;
  /** Dead and culled plants that wait for the officer, by their fate. */
  readonly bag?: Readonly<Record<string, number>>;
  readonly began_at: string | null;
  readonly opened_on: string | null;
  readonly released: { readonly notice: string; readonly at: string } | null;
  readonly doubts: readonly Doubt[];
  readonly outlook?: Outlook | null;
}

export interface BatchSheet extends BatchView {
  readonly timeline: readonly { readonly set_aside: boolean; readonly entry: unknown }[];
}

export interface Notice {
  readonly code: string;
  readonly subject?: string;
  readonly params?: Readonly<Record<string, unknown>>;
}

/** The plants that came under one certificate, as one account. */
export interface Group {
  readonly id: string;
  readonly batches: readonly string[];
  readonly ledger: BatchJson["ledger"];
  readonly counted: number | null;
  readonly notices: readonly Notice[];
}

export interface NeedsALook {
  readonly doubts: readonly {
    readonly subject: string;
    readonly label: string | null;
    readonly doubts: readonly Doubt[];
  }[];
  readonly kept_raw: readonly { readonly ref: string; readonly received_at: string }[];
  readonly set_aside: readonly { readonly id: string; readonly kind: string }[];
  readonly phones: readonly { readonly install: string; readonly code: string }[];
  readonly photos: readonly { readonly sha256: string }[];
  readonly notices: readonly Notice[];
  /** Trainings and licences that end soon or have ended. */
  readonly papers: readonly PaperEnd[];
}

export interface PaperEnd {
  readonly person: string;
  readonly name: string;
  readonly kind: "licence" | "training";
  readonly what: string;
  readonly until: string;
  /** From today on; below zero where it is past. */
  readonly days: number;
}

/** A row of reference data: a person, a place, a crop. */
export interface RowView {
  readonly id: string;
  readonly body: Readonly<Record<string, unknown>>;
}
