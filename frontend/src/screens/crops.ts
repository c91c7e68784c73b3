/** Of what crop a batch is, as far as this phone knows. */
import { phone } from "./phone.svelte";

/** Its own crop, or the only one of the consignment that it came with. */
export function cropOf(batch: string): string {
  const one = phone.batches.get(batch);
  if (!one) return "";
  if (one.crop) return one.crop;
  const row = one.consignment === null ? null : phone.row("consignment", one.consignment);
  const lines = (row?.body["lines"] ?? []) as readonly { readonly crop: string }[];
  return lines[0]?.crop ?? one.parents.map(cropOf).find((crop) => crop !== "") ?? "";
}
