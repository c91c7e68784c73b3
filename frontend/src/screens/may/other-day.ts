/** What is answered for a day to come: the office's word, and what this phone alone may know. */
import { verdict, type GateRow, type Verdict } from "../../log/gate";

/** What stands in this phone's records without an end, and the office may not have heard of. */
const ENDLESS: ReadonlySet<string> = new Set(["held_here", "reentry_unknown"]);

/** A "no" of the office is told as it is; nothing that this phone knows better is left out. */
export function onDay(
  told: Omit<GateRow, "valid_until">,
  here: Verdict,
  on: string,
  dayOf: (instant: string) => string,
): Verdict {
  const row = verdict(told.answer, told.reason, told.params, told.opens);
  if (row.answer === "no" || (row.answer === "cannot_tell" && here.answer === "wait")) return row;
  const later = here.reason === "reentry" && here.opensAt !== null && dayOf(here.opensAt) > on;
  return ENDLESS.has(here.reason) || later ? here : row;
}
