/** What holds a batch, in words: one phrase for each order, and one for the finds. */
import { heldBy, type HeldBy, type Worn } from "./look";
import { speech } from "./speech.svelte";

export function holdsInWords(batch: Worn): string {
  const told = new Map<string, string>();
  for (const hold of heldBy(batch)) {
    // One order may hold a batch by its name and by its place: it is told once.
    if (!told.has(hold.reference)) told.set(hold.reference, phrase(hold, batch));
  }
  return speech.join([...new Set(told.values())]);
}

/** Whether a name was made by the product for itself: nobody reads such a one. */
export function isId(name: string): boolean {
  return /^[\da-f]{8}(-[\da-f]{4}){3}-[\da-f]{12}$/i.test(name);
}

function phrase({ by, reference }: HeldBy, batch: Worn): string {
  if (by === "find" && isIn(reference, batch)) return speech.say("hold_by.find_in_it");
  if (by !== "find" && by !== "breach" && isId(reference)) return speech.say("hold_by.find");
  return speech.word(`hold_by.${by}`, { reference }) ?? speech.say("hold_by.other");
}

function isIn(find: string, { finds, outlook }: Worn): boolean {
  return finds.includes(find) || (outlook?.samples ?? []).some((one) => one.find === find);
}
