/** What holds a batch, in words. */
import { heldBy, type Worn } from "./look";
import { speech } from "./speech.svelte";

export function holdsInWords(batch: Worn): string {
  const told = new Map<string, string>();
  for (const { by, reference } of heldBy(batch)) {
    // One order may hold a batch by its name and by its place: it is told once.
    if (told.has(reference)) continue;
    told.set(reference, speech.word(`hold_by.${by}`, { reference }) ?? speech.say("hold_by.other"));
  }
  return speech.join([...new Set(told.values())]);
}
