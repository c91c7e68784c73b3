import { Seats } from "../../log/seats";
import { phone } from "../phone.svelte";

class Tree {
  /** The places as this phone knows them; those that are over are left out. */
  readonly all = $derived(new Seats(phone.rowsOf("place")));
}

export const tree = new Tree();

/** Whether plants are held under conditions here; where not, no screen speaks of any. */
export function underConditions(): boolean {
  const own = phone.own?.nursery.id;
  return own === undefined || phone.row("nursery", own)?.body["conditions"] !== false;
}
