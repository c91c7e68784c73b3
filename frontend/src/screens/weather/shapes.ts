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
  /** In which units each measure may stand in a file. */
  readonly units: Readonly<Record<string, readonly string[]>>;
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

export interface Preview {
  readonly layout: string;
  readonly headings: readonly string[];
  readonly days_at: readonly number[];
  /** The sign that decimals were read with; null where no figure has any. */
  readonly mark: "point" | "comma" | null;
  readonly columns: readonly Column[];
  readonly first: string | null;
  readonly last: string | null;
  readonly count: number;
  readonly years: number;
  readonly enough: boolean;
  readonly usable: boolean;
  readonly lacking: Readonly<Record<string, number>>;
  readonly gaps: readonly Gap[];
  readonly gap_days: number;
  readonly troubles: readonly Fault[];
  readonly trouble_count: number;
  readonly sample: readonly Readonly<Record<string, string | number>>[];
}

export function weatherSheet(): Sheet<Weathers> {
  const sheet = new Sheet<Weathers>("weather", () => book.ask<Weathers>("/weather"));
  void sheet.load();
  return sheet;
}

export function forget(id: string): Promise<Answer<undefined>> {
  return book.tell("DELETE", `/weather/${encodeURIComponent(id)}`);
}
