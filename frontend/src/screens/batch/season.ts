/** What the season and the pots say of a batch: worked out by the office, told in its words. */
import type { Reason } from "../../net/views";

interface Seasoned {
  readonly outlook?: { readonly season?: readonly Reason[] } | null;
}

const LOST: ReadonlySet<string> = new Set(["main_weeks_lost", "weeks_lost"]);
const FULL: ReadonlySet<string> = new Set(["pots_full_before", "pots_full_free"]);

/** All that is told, in its order. */
export function ahead(batch: Seasoned | undefined): readonly Reason[] {
  return batch?.outlook?.season ?? [];
}

/** When the pots are full; null where nobody said how long that takes. */
export function fullOn(batch: Seasoned): string | null {
  const on = ahead(batch).find(({ code }) => code === "pots_full")?.params["on"];
  return typeof on === "string" ? on : null;
}

/** The season that is lost and the pots that will not last: what stands in no line of its own. */
export function collisions(batch: Seasoned): Reason[] {
  return ahead(batch).filter(({ code }) => LOST.has(code) || FULL.has(code));
}

/** Whether the office has told of the season that is lost. */
export function toldLost(batch: Seasoned): boolean {
  return ahead(batch).some(({ code }) => LOST.has(code));
}
