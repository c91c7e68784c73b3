/** What the earliest release still wants, in sentences: the day alone promises nothing. */
import type { BatchView } from "../../net/views";
import { holdsInWords } from "../../parts/holds";
import { isHeld } from "../../parts/look";
import type { Voice } from "./telling";

export function releaseWants(batch: BatchView, { say, word }: Voice): string[] {
  const clock = batch.outlook?.clock;
  if (!clock || batch.released) return [];
  const { unmet = [], lapses = [], only_if: onlyIf = null } = clock;
  const planned = onlyIf?.code === "if_treated" ? onlyIf.params["number"] : null;
  const reasons = [...(onlyIf === null ? [] : [onlyIf]), ...unmet, ...lapses].filter(
    // "If treatment 2 is done on ..." says that it is planned: nobody is asked to plan it again.
    ({ code, params }) => code !== "treatment_missing" || params["number"] !== planned,
  );
  return [
    ...(isHeld(batch) ? [say("batch.earliest_hold", { holds: holdsInWords(batch) })] : []),
    ...reasons.map(({ code, params }) => word(`reason.${code}`, params) ?? say("doubt.other")),
  ];
}
