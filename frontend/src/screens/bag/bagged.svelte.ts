/** The officer's bag of a room, as this phone knows it. */
import { bagIn, unseenOf } from "../../log/bag";
import { knownOf } from "../../log/known";
import type { KeptBatch } from "../../shelf/folding";
import { byLabel } from "../acts/ground";
import { phone } from "../phone.svelte";
import { BookOf } from "../room/book-of.svelte";
import { tree } from "../room/seats.svelte";

export interface InBag {
  readonly batch: KeptBatch;
  readonly count: number;
  readonly fates: Readonly<Record<string, number>>;
  /** Put in since an officer last saw it. */
  readonly unseen: number;
}

/** Make it while a component begins. Plants that went elsewhere since left their dead here. */
export class Bag {
  readonly #book: BookOf;
  readonly #room: () => string;
  readonly all: readonly InBag[] = $derived.by(() => this.#all());

  constructor(room: () => string) {
    this.#room = room;
    this.#book = new BookOf(withLosses);
  }

  get read(): boolean {
    return this.#book.read;
  }

  get count(): number {
    return this.all.reduce((sum, { count }) => sum + count, 0);
  }

  get unseen(): number {
    return this.all.reduce((sum, { unseen }) => sum + unseen, 0);
  }

  #all(): InBag[] {
    if (!this.#book.read) return [];
    const { entries } = this.#book;
    const isHere = (place: string): boolean => tree.all.room(place) === this.#room();
    return byLabel(withLosses())
      .map((batch) => ({
        batch,
        count: bagIn(batch.id, entries, isHere),
        fates: knownOf(batch.id, entries).bag,
        unseen: unseenOf(batch.id, entries),
      }))
      .filter(({ count }) => count > 0);
  }
}

function withLosses(): string[] {
  return [...phone.batches.values()]
    .filter(({ ledger }) => ledger.died > 0 || ledger.culled > 0 || ledger.destroyed > 0)
    .map(({ id }) => id);
}
