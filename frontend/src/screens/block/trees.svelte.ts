/** Shelter trees of a block: on a joined phone from its own copy, at a desk from the office. */
import { cropHarmed, shelterRows, subjectsOf, treesOf, type TreeRow } from "../../log/trees";
import { speech } from "../../parts/speech.svelte";
import { local } from "../../words/local";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { BookOf } from "../room/book-of.svelte";
import { Sheet } from "../sheet.svelte";
import type { Standing } from "../standing/shapes";
import type { Held } from "./held.svelte";

const NONE: readonly TreeRow[] = [];

/** Make it while a component begins, once the layout is known. */
export class Trees {
  readonly #held: Held;
  readonly #told: BookOf;
  readonly #sheet: Sheet<Standing>;

  constructor(held: Held) {
    this.#held = held;
    this.#told = new BookOf(() => (phone.own && held.layout ? subjectsOf(held.layout) : []));
    this.#sheet = new Sheet<Standing>(`standing ${held.id}`, () =>
      book.ask<Standing>(`/blocks/${encodeURIComponent(held.id)}/standing`),
    );
    const some = held.layout !== null && shelterRows(held.layout).length > 0;
    if (some && !phone.own) void this.#sheet.load();
  }

  /** Null as long as nobody told. */
  get rows(): readonly TreeRow[] | null {
    const { layout, id } = this.#held;
    if (layout === null) return NONE;
    if (!phone.own) {
      return this.#sheet.data?.blocks.find((one) => one.id === id)?.shelter?.rows ?? null;
    }
    if (!this.#told.read) return null;
    return treesOf(layout, this.#told.entries, (at) => local(at, speech.house.zone).day);
  }

  get crop(): { readonly harmed: number; readonly lost: number } {
    const { layout, stood } = this.#held;
    return layout === null ? { harmed: 0, lost: 0 } : cropHarmed(layout, stood);
  }
}
