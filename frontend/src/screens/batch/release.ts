/** What the earliest release still wants, in sentences: the day alone promises nothing. */
import type { BatchView } from "../../net/views";
import { holdsInWords } from "../../parts/holds";
import { isHeld } from "../../parts/look";
import type { Voice } from "./telling";

export function releaseWants(batch: BatchView, { say, word }: Voice): string[] {
  const clock = batch.outlook?.clock;
  if (!clock || batch.released) return [];
  const { unmet = [], lapses = [], only_if: onlyIf = null } = clock;
  const reasons = [...(onlyIf === null ? [] : [onlyIf]), ...unmet, ...lapses];
  return [
    ...(isHeld(batch) ? [say("batch.earliest_hold", { holds: holdsInWords(batch) })] : []),
    ...reasons.map(({ code, params }) => word(`reason.${code}`, params) ?? say("doubt.other")),
  ];
}
