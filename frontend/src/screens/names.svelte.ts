import type { Answer } from "../net/office";
import type { BatchView, RowView } from "../net/views";
import { keep, kept } from "../shelf/kept";
import { book } from "./book.svelte";

const TYPES = ["place", "person", "crop"] as const;
type Type = (typeof TYPES)[number] | "batch";

/** What people call the things that entries name by their ids. */
class Names {
  #known = $state.raw<Readonly<Record<string, string>>>({});

  /** The name, or the id where nobody gave one. */
  readonly of = (type: Type, id: string): string => this.#known[`${type} ${id}`] ?? id;

  async open(): Promise<void> {
    const before = await kept<Record<string, string>>("names");
    if (before) this.#known = before.data;
  }

  async learn(): Promise<void> {
    const lists = await Promise.all(TYPES.map(async (type) => [type, await rows(type)] as const));
    const found = lists.flatMap(([type, answer]) =>
      answer.ok ? answer.data.items.map(({ id, body }) => [`${type} ${id}`, nameOf(id, body)]) : [],
    );
    this.#add(found);
  }

  labels(batches: readonly BatchView[]): void {
    this.#add(batches.map(({ id, label }) => [`batch ${id}`, label ?? id]));
  }

  #add(pairs: readonly (readonly string[])[]): void {
    if (pairs.length === 0) return;
    this.#known = { ...this.#known, ...(Object.fromEntries(pairs) as Record<string, string>) };
    void keep("names", { at: book.now(), data: this.#known });
  }
}

function nameOf(id: string, body: RowView["body"]): string {
  const name = body["name"];
  return typeof name === "string" ? name : id;
}

function rows(type: string): Promise<Answer<{ items: RowView[] }>> {
  return book.ask(`/rows/${type}`);
}

export const names = new Names();
