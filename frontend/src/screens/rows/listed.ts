/** What stands beside the rows: who lists a pest, and crops that no row describes. */
import type { Term } from "../../log/bag";
import type { BatchView } from "../../net/views";
import type { OwnBody, PermitBody, Row } from "../permits/shapes";
import type { Listing } from "./shapes";

/** Which permits and own rules list which pest. */
export function listingsOf(
  permits: readonly Row<PermitBody>[],
  own: readonly Row<OwnBody>[],
): Listing[] {
  const of = (
    { rule, says, since }: Pick<Term, "rule" | "says" | "since">,
    permit: string,
  ): Listing[] =>
    rule !== "listed" || !Array.isArray(says["pests"])
      ? []
      : says["pests"].map((pest) => ({ pest: String(pest), since, permit }));
  return [
    ...permits.flatMap(({ id, body }) => (body.terms ?? []).flatMap((term) => of(term, id))),
    ...own.flatMap(({ body }) => of(body.term, "")),
  ];
}

/** Crops that phones named, by their ids. */
export function undescribed(
  batches: readonly Pick<BatchView, "crop">[],
  crops: readonly { readonly id: string }[],
): string[] {
  const known = new Set(crops.map(({ id }) => id));
  const named = batches.flatMap(({ crop }) => (crop === null || known.has(crop) ? [] : crop));
  return [...new Set(named)].sort();
}
