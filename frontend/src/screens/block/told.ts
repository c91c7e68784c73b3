/** Who stands in the rows of a block, as the office tells it position by position. */
import type { Stood } from "../../log/planting-row";
import type { Hold, ToldHold } from "../../log/world";
import { seat, type Occupant } from "../../log/positions";

export interface Feature {
  readonly properties: {
    readonly position: string;
    readonly row: number;
    readonly meant: string | null;
    readonly batch: string | null;
    readonly planted: string | null;
    readonly state: Occupant["state"] | null;
    readonly cause: string | null;
    readonly holds?: readonly ToldHold[];
  };
}

/** The office calls batches by their labels here. */
export function bySeat(block: string, features: readonly Feature[]): ReadonlyMap<string, Stood> {
  const found = new Map<string, Record<string, Occupant>>();
  for (const { properties: one } of features) {
    if (one.batch === null || one.state === null) continue;
    const row = seat(block, String(one.row));
    const stood = found.get(row) ?? {};
    stood[one.position] = {
      ...{
        batch: one.batch,
        at: (one.planted ?? "") as Occupant["at"],
        entry: "" as Occupant["entry"],
      },
      ...{ state: one.state, cause: one.cause, first: true, look: null },
    };
    found.set(row, stood);
  }
  return new Map([...found].map(([row, positions]) => [row, { positions, left_empty: [] }]));
}

/** What the office calls the batches that a layout means, by their ids. */
export function meantLabels(
  meant: readonly { readonly batch: string; readonly first: number }[],
  features: readonly Feature[],
): ReadonlyMap<string, string> {
  const labels = new Map(features.map(({ properties: one }) => [one.position, one.meant]));
  return new Map(meant.map(({ batch, first }) => [batch, labels.get(String(first)) ?? batch]));
}

/** What holds the positions that are held, by their names. */
export function heldAt(features: readonly Feature[]): ReadonlyMap<string, readonly Hold[]> {
  const plain = { here: false, batches: [], people: [] };
  return new Map(
    features
      .filter(({ properties: { holds = [] } }) => holds.length > 0)
      .map(({ properties: { position, holds = [] } }) => [
        position,
        holds.map((one) => ({ ...plain, ...one, orders: one.orders ?? [] })),
      ]),
  );
}
