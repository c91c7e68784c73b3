/** Why a week was not done, or not wholly: each reason with the batches that it was given for. */
import type { Week } from "../../net/file";
import { speech } from "../../parts/speech.svelte";
import type { NameOf, Voice } from "../batch/telling";

export function reasons(week: Week, { say, word }: Voice, nameOf: NameOf): string[] {
  const groups = new Map<string, string[]>();
  for (const { batch, why, accepted } of week.not_done) {
    const cause = why === null ? say("week.no_reason") : (word(`unlooked.${why}`) ?? why);
    const paper = accepted === null ? null : say("week.accepted", { reference: accepted });
    const key = paper === null ? cause : `${cause}, ${paper}`;
    groups.set(key, [...(groups.get(key) ?? []), nameOf("batch", batch)]);
  }
  return [...groups].map(([text, labels]) =>
    labels.length === week.batches
      ? text
      : say("line.reason", { text, reason: speech.join(labels) }),
  );
}
