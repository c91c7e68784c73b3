/** The sheets of the office, in the order of its nav. */
import type { Key } from "../words/catalogue";

interface Leaf {
  readonly sheet: string;
  readonly says: Key;
  readonly sign: string;
  readonly growers?: boolean;
  /** Sheets that are reached from it, and belong to it. */
  readonly holds?: readonly string[];
}

export const OFFICE: readonly Leaf[] = [
  { sheet: "stock", says: "nav.stock", sign: "bench", holds: ["bring-in"] },
  { sheet: "consignments", says: "nav.consignments", sign: "trays" },
  { sheet: "permits", says: "nav.permits", sign: "sign", growers: true },
  { sheet: "rows", says: "nav.rows", sign: "paper", growers: true, holds: ["products"] },
  { sheet: "what-if", says: "nav.what_if", sign: "weeks", growers: true },
  { sheet: "rooms", says: "nav.rooms", sign: "office", growers: true },
  {
    ...({ sheet: "season", says: "nav.season", sign: "plant", growers: true } as const),
    holds: ["planting", "plan-back", "weather", "site", "logger"],
  },
  { sheet: "trace", says: "nav.trace", sign: "lens", growers: true },
  { sheet: "standing", says: "nav.standing", sign: "survey", growers: true },
  { sheet: "looks", says: "nav.looks", sign: "lens", growers: true },
  { sheet: "reminders", says: "nav.reminders", sign: "tell", growers: true },
  { sheet: "labels", says: "nav.labels", sign: "shot-label", growers: true },
  { sheet: "links", says: "nav.links", sign: "paper", growers: true },
  { sheet: "people", says: "nav.people", sign: "who", growers: true },
  {
    ...({ sheet: "backup", says: "nav.backup", sign: "key", growers: true } as const),
    holds: ["take-away"],
  },
];
