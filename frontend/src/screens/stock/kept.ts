/** A batch of the phone's own copy in the shape in which the office tells of one. */
import type { BatchOutlook } from "../../net/outlook";
import type { BatchView, Doubt, Outlook } from "../../net/views";
import type { KeptBatch } from "../../shelf/folding";

interface Told extends BatchOutlook {
  /** Doubts of its own records, as the office has them. */
  readonly own_doubts?: readonly Doubt[];
}

export function ofTheCopy(kept: KeptBatch, told: BatchOutlook | undefined): BatchView {
  const outlook = told as Told | undefined;
  const clock = outlook?.clock as (Outlook["clock"] & { readonly released?: unknown }) | null;
  return {
    ...kept,
    opened_on: null,
    released: (clock?.released ?? null) as BatchView["released"],
    doubts: [...(outlook?.own_doubts ?? []), ...(outlook?.doubts ?? [])],
    outlook: outlook ?? null,
  };
}
