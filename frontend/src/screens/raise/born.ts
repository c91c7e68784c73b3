import { proposed } from "../../log/numbering";
import { livingLabels, newBatchId } from "../split/known.svelte";
import { parted } from "../split/labelling";
import type { Born } from "./raising";

/** A batch that begins on this phone, with the label that comes next. */
export function born(after: string | null = null, place: string | null = null): Born {
  const letters = after === null ? undefined : parted(after).letters;
  const label = proposed(livingLabels(), letters);
  return { id: newBatchId(), label, place: place ?? "", container: "" };
}
