/** What the office says of a file of daily weather, and of the series that it has. */
import type { Answer } from "../../net/office";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";

export interface Year {
  readonly year: number;
  /** How many days of it each measure has. */
  readonly days: Readonly<Record<string, number>>;
}

export interface Series {
  readonly id: string;
  readonly name: string;
  readonly source: string;
  readonly invented: boolean;
  readonly years: readonly Year[];
  readonly whole_years: number;
  readonly enough: boolean;
}

export interface Weathers {
  readonly items: readonly Series[];
  readonly units: Units;
}

export interface Column {
  readonly place: number;
  readonly heading: string;
  readonly measure: string;
  readonly unit: string;
}

export interface Fault {
  readonly code: string;
  readonly row: number | null;
  readonly column: string | null;
  readonly params: Readonly<Record<string, unknown>>;
  readonly grave: boolean;
}

export interface Gap {
  readonly first: string;
  readonly last: string;
  readonly days: number;
}

/** What a file's columns were found to be. */
export interface Found {
  readonly headings: readonly string[];
  readonly days_at: readonly number[];
  /** The sign that decimals were read with; null where no figure has any. */
  readonly mark: "point" | "comma" | null;
  readonly columns: readonly Column[];
  readonly troubles: readonly Fault[];
  readonly trouble_count: number;
}

/** In which units each measure may stand in a file. */
export type Units = Readonly<Record<string, readonly string[]>>;

export interface Preview extends Found {
  readonly layout: string;
  readonly first: string | null;
  readonly last: string | null;
  readonly count: number;
  readonly years: number;
  readonly enough: boolean;
  readonly usable: boolean;
  readonly lacking: Readonly<Record<string, number>>;
  readonly gaps: readonly Gap[];
  readonly gap_days: number;
  /** How many figures or rows were left out, by why. */
  readonly left_out: Readonly<Partial<Record<"quality" | "element", number>>>;
  readonly sample: readonly Readonly<Record<string, string | number>>[];
}

/** A day of a room out of a logger's file. */
export interface Logged {
  readonly on: string;
  readonly readings: number;
  readonly air_c?: number;
  readonly air_low_c?: number;
  readonly air_high_c?: number;
  readonly humidity_percent?: number;
  readonly light_mol?: number;
}

export interface Log extends Found {
  readonly usable: boolean;
  readonly days: readonly Logged[];
  readonly units: Units;
}

export function weatherSheet(): Sheet<Weathers> {
  const sheet = new Sheet<Weathers>("weather", () => book.ask<Weathers>("/weather"));
  void sheet.load();
  return sheet;
}

export function forget(id: string): Promise<Answer<undefined>> {
  return book.tell("DELETE", `/weather/${encodeURIComponent(id)}`);
}
