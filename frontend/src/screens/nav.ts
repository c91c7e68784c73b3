/** The sheets of the office, in the order of its nav. */
import type { Key } from "../words/catalogue";

interface Leaf {
  readonly sheet: string;
  readonly says: Key;
  readonly growers?: boolean;
}

export const OFFICE: readonly Leaf[] = [
  { sheet: "stock", says: "nav.stock" },
  { sheet: "rooms", says: "nav.rooms", growers: true },
  { sheet: "looks", says: "nav.looks", growers: true },
  { sheet: "labels", says: "nav.labels", growers: true },
  { sheet: "people", says: "nav.people", growers: true },
  { sheet: "backup", says: "nav.backup", growers: true },
];
