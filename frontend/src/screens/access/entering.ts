/** May this person go in now, as far as this phone can say? */
import type { Verdict } from "../../log/gate";
import { now } from "../world.svelte";
import type { Guest } from "./guest";

export type Entering = Verdict;

export function entering(place: string, guest: Guest, me: string): Entering {
  const person = guest.kind === "me" ? me : guest.kind === "person" ? guest.person : null;
  return now.mayI("entering", place, person);
}
