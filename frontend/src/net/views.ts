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

/** What follows for a batch: forecasts, worked out by the office. */
export interface Outlook {
  readonly clock: { readonly started_on: string | null; readonly earliest: string | null } | null;
  readonly held: readonly Hold[];
  readonly doubts: readonly Doubt[];
}

export interface BatchView extends BatchJson {
  readonly crop: string | null;
  readonly consignment: string | null;
  readonly container: string | null;
  readonly cells: number | null;
  readonly one_of_parents: boolean;
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
  readonly notices: readonly Notice[];
}

/** A row of reference data: a person, a place, a crop. */
export interface RowView {
  readonly id: string;
  readonly body: Readonly<Record<string, unknown>>;
}
