import { ShelfFault } from "../../shelf/handle";
import { phone } from "../phone.svelte";

/** A wrong PIN was typed on somebody's tile: the office hears how often, with the next push. */
export async function wrongPin(person: string): Promise<void> {
  const { own } = phone;
  if (!own) return;
  const wrongPins = { ...own.wrongPins, [person]: (own.wrongPins?.[person] ?? 0) + 1 };
  try {
    phone.own = await phone.outbox.know({ install: own.install, wrongPins });
  } catch (fault) {
    // Where the phone can keep nothing, the tile is shut all the same.
    if (!(fault instanceof ShelfFault)) throw fault;
  }
}
