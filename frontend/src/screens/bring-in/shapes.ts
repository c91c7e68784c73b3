/** What the office says of a spreadsheet of stock: what it would become, and what is amiss. */
export type Column =
  | "label"
  | "crop"
  | "count"
  | "estimate"
  | "counted_on"
  | "place"
  | "container"
  | "cells"
  | "goods"
  | "arrived_on"
  | "permit"
  | "stage"
  | "lot"
  | "notes";

export const COLUMNS: readonly Column[] = [
  ...(["label", "crop", "count", "estimate", "counted_on", "place", "container"] as const),
  ...(["cells", "goods", "arrived_on", "permit", "stage", "lot", "notes"] as const),
];

export interface Fault {
  readonly row: number;
  readonly column: Column;
  readonly value: string;
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
}

export interface Told {
  readonly answer: string;
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
}

export interface At {
  readonly place: string;
  readonly name: string;
  readonly batches: number;
  readonly plants: number;
  readonly estimates: number;
  readonly told: readonly Told[];
}

export interface Row {
  readonly row: number;
  readonly id: string;
  readonly label: string;
  readonly plants: number;
  readonly estimate: boolean;
  readonly counted_on: string;
  readonly crop: string;
  readonly place: string;
  readonly goods: string;
  readonly arrived_on: string | null;
  readonly stage: string | null;
  readonly permit: boolean;
}

export interface Unknown {
  readonly column: Column;
  readonly said: string;
  readonly rows: number;
  /** Whether a row of its own may be made of it. */
  readonly made: boolean;
}

export interface Figures {
  readonly batches: number;
  readonly plants: number;
  readonly estimates: number;
  readonly known: number;
  readonly faulty: number;
  readonly faults: number;
}

export interface Preview {
  readonly seal: string;
  readonly file: {
    readonly name: string;
    readonly kind: "csv" | "xlsx";
    readonly sheets: readonly string[];
    readonly sheet: string;
    readonly encoding: string;
    readonly separator: string;
    readonly remarks: number;
    readonly rows: number;
  };
  readonly columns: readonly {
    readonly at: number;
    readonly heading: string;
    readonly field: Column | null;
  }[];
  readonly lacking: readonly Column[];
  readonly order: Order | null;
  readonly asks_order: boolean;
  readonly figures: Figures;
  readonly may_come: boolean;
  readonly places: readonly At[];
  readonly rows: readonly Row[];
  readonly faults: readonly Fault[];
  readonly unknown: readonly Unknown[];
  readonly crops: readonly string[];
  readonly goods: readonly string[];
  readonly told: Readonly<Record<string, number>>;
}

export interface Done extends Figures {
  readonly records: number;
  readonly crops: number;
  readonly goods: number;
  readonly places: readonly At[];
}

export const ORDERS = ["day_first", "month_first"] as const;
export type Order = (typeof ORDERS)[number];
