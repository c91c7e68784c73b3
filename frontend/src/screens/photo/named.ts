import { names } from "../names.svelte";
import { phone } from "../phone.svelte";

/** What people call a batch or a place. */
export function nameOf(subject: string): string {
  // A place about which nobody has written yet has its row alone.
  const isPlace = phone.places.has(subject) || phone.row("place", subject) != null;
  return names.of(isPlace ? "place" : "batch", subject);
}
