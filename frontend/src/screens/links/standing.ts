/** How a link stands, in words. */
import type { Key } from "../../words/catalogue";
import { isOpen, type LinkView } from "./links.svelte";

export function standing(link: LinkView, now: string): { says: Key; at: string; open: boolean } {
  if (link.ended_at !== null) return { says: "links.ended", at: link.ended_at, open: false };
  if (!isOpen(link, now)) return { says: "links.over", at: link.ends_at, open: false };
  return { says: "links.until", at: link.ends_at, open: true };
}

/** The instant so many days from now, as the office reads one. */
export function inDays(now: string, days: number): string {
  return new Date(Date.parse(now) + days * 86_400_000).toISOString();
}
