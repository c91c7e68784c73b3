/** The links by which the authority reads, as the office tells of them. */
import type { components } from "../../net/api";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";

export type LinkView = components["schemas"]["LinkShape"];
export type LinkSheet = components["schemas"]["LinkRead"];
export type LinkMade = components["schemas"]["LinkMade"];

export function linksSheet(): Sheet<{ items: readonly LinkView[] }> {
  const sheet = new Sheet("links", () => book.ask<{ items: readonly LinkView[] }>("/links"));
  void sheet.load();
  return sheet;
}

/** Whether somebody may read by it now. */
export function isOpen(link: LinkView, now: string): boolean {
  return link.ended_at === null && Date.parse(link.ends_at) > Date.parse(now);
}
