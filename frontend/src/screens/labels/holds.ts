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
