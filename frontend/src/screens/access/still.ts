/** Whether somebody may have been forgotten inside, and how many are in. */
import { forgotten } from "../../log/visits";
import { speech } from "../../parts/speech.svelte";
import { local } from "../../words/local";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";

export function insideNow(): number {
  return [...phone.places.values()].reduce((sum, { inside }) => sum + inside.length, 0);
}

export function someForgotten(): boolean {
  const { zone } = speech.house;
  const now = local(book.now(), zone);
  return [...phone.places.values()].some(({ inside }) =>
    inside.some(({ since }) => forgotten(local(since, zone), now)),
  );
}
