/** What the season sheet says of one batch: whether its plants are big enough, and as of when. */
import type { Item, Season } from "../season/shapes";

export interface Ready {
  readonly item: Item;
  /** Its plants are reckoned with those of other batches. */
  readonly together: boolean;
  readonly asOf: string;
}

/** Null where the sheet does not know the batch, or has nothing that is worth telling. */
export function readyOf(season: Season | null, batch: string, all: boolean): Ready | null {
  const item = season?.items.find(({ batches }) => batches?.includes(batch));
  if (!season || !item) return null;
  // On a phone what lacks is told where it can be measured.
  const { state } = item.readiness;
  if (!all && state !== "forecast" && state !== "ready") return null;
  return { item, together: (item.batches?.length ?? 0) > 1, asOf: season.today };
}
