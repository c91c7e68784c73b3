/** What may have a label of a hold, and which labels of holds that have ended are taken off. */
import type { components } from "../../net/api";
import type { BatchView, RowView } from "../../net/views";

export type Holds = components["schemas"]["HoldLabels"];

export const NONE: Holds = { held: [], ended: [] };

interface Choices {
  readonly batches: readonly BatchView[];
  readonly places: readonly RowView[];
}

/** Of everything that has a label, what is held now. */
export function heldOf({ batches, places }: Choices, { held }: Holds): Choices {
  const ids = (what: string): Set<string> =>
    new Set(held.filter((one) => one.what === what).map(({ id }) => id));
  const [trays, seats] = [ids("batch"), ids("place")];
  return {
    batches: batches.filter(({ id }) => trays.has(id)),
    places: places.filter(({ id }) => seats.has(id)),
  };
}

/** The chosen ones that are still offered. */
export function offered(
  chosen: ReadonlySet<string>,
  some: readonly { readonly id: string }[],
): Set<string> {
  return new Set(some.map(({ id }) => id).filter((id) => chosen.has(id)));
}

/** What one hold held: its labels are taken off in one walk. */
export interface Off {
  readonly key: string;
  readonly names: readonly string[];
  readonly since: string;
  readonly until: string;
  readonly order: string | null;
}

// Whoever has not taken a label off in a month looks at the list of all. (Own choice.)
const LATELY_DAYS = 30;

/** Labels to take off by the hold that they tell of: of the last weeks, and of before. */
export function offs(
  ended: Holds["ended"],
  today: string,
): { readonly lately: Off[]; readonly before: Off[] } {
  const found = new Map<string, Off>();
  for (const { name, since, until, order } of ended) {
    const key = `${since} ${until} ${order ?? ""}`;
    const names = [...(found.get(key)?.names ?? []), name];
    found.set(key, { key, names, since, until, order });
  }
  const lately = (off: Off): boolean =>
    Date.parse(today) - Date.parse(off.until) <= LATELY_DAYS * 86_400_000;
  const all = [...found.values()];
  return { lately: all.filter(lately), before: all.filter((off) => !lately(off)) };
}
