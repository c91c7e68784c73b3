/** Records that were written without a PIN, put together by the tile and the day they stand on. */
import { local } from "../../words/local";

export interface Unconfirmed {
  readonly doubt: string;
  readonly subjects: readonly { readonly id: string; readonly label: string | null }[];
  readonly entry: {
    readonly id: string;
    readonly kind: string;
    readonly author: string;
    readonly occurred_at: string;
  };
}

export interface Pile {
  readonly key: string;
  readonly author: string;
  readonly day: string;
  readonly records: readonly Unconfirmed[];
}

/** One pile for each tile and day, in the order in which they happened. */
export function piles(records: readonly Unconfirmed[], zone: string): readonly Pile[] {
  const found = new Map<string, Unconfirmed[]>();
  for (const record of records) {
    const { day } = local(record.entry.occurred_at, zone);
    const key = `${record.entry.author} ${day}`;
    found.set(key, [...(found.get(key) ?? []), record]);
  }
  return [...found].map(([key, list]) => {
    const day = key.slice(key.lastIndexOf(" ") + 1);
    return { key, day, author: list[0]?.entry.author ?? "", records: list };
  });
}

/** The record that says whose one was; `by` only where it was not the tile's own person. */
export function settlement(
  { doubt, subjects, entry }: Unconfirmed,
  who: string,
  reason: string,
): { kind: string; about: readonly string[]; body: Readonly<Record<string, unknown>> } {
  const by = who === entry.author ? {} : { by: who };
  return { kind: "settled", about: subjects.map(({ id }) => id), body: { doubt, reason, ...by } };
}
