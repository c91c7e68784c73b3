/** How long a room stays empty after it was cleaned, as the terms of its permits and rules say. */
import { inForce, type Term } from "../../log/bag";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { tree } from "./seats.svelte";

interface OwnRule {
  readonly term: Term;
  readonly places?: readonly string[];
}

/** The longest that any of them asks for; null where none asks. */
export function hoursEmpty(room: string): number | null {
  const around = tree.all.outward(room);
  const permits = phone
    .rowsOf("permit")
    .filter(({ body }) => typeof body["place"] !== "string" || around.includes(body["place"]))
    .map(({ body }) => (body["terms"] ?? []) as readonly Term[]);
  const own = phone.rowsOf("due_rule").flatMap(({ body }) => {
    const { term, places = [] } = body as unknown as OwnRule;
    return places.length === 0 || places.some((place) => around.includes(place)) ? [[term]] : [];
  });
  const hours = [...permits, ...own]
    .map((terms) => inForce("all_out", terms, null, book.today)?.says["empty_hours"])
    .filter((one) => typeof one === "number");
  return hours.length > 0 ? Math.max(...hours) : null;
}
