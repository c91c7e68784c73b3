import { names } from "../names.svelte";
import { phone } from "../phone.svelte";

/** What people call a batch or a place. */
export function nameOf(subject: string): string {
  return names.of(phone.places.has(subject) ? "place" : "batch", subject);
}
