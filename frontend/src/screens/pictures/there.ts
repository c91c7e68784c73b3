import type { Answer } from "../../net/office";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";
import type { Told } from "./story";

interface Items {
  readonly items: readonly Told[];
}

/** What the office has of the photos of a batch. */
export function there(id: string): Sheet<Items> {
  const path = `/batches/${encodeURIComponent(id)}/photos`;
  return new Sheet(path, (): Promise<Answer<Items>> => book.ask(path));
}
