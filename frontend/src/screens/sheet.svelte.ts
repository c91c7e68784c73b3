import { untrack } from "svelte";
import type { Answer, Trouble } from "../net/office";
import { keep, kept } from "../shelf/kept";
import { book } from "./book.svelte";

/** One sheet's data: what was kept at once, what the office says as soon as it says it. */
export class Sheet<T> {
  data = $state.raw<T | null>(null);
  at = $state<string | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  loading = $state(true);
  readonly #key: string;
  readonly #ask: () => Promise<Answer<T>>;

  constructor(key: string, ask: () => Promise<Answer<T>>) {
    this.#key = key;
    this.#ask = ask;
  }

  readonly load = async (): Promise<void> => {
    this.loading = true;
    // An effect that loads must not run again because something was loaded: it would ask for ever.
    if (untrack(() => this.data) === null) await this.#fromShelf();
    const answer = await this.#ask();
    this.loading = false;
    if (!answer.ok) {
      this.trouble = answer.trouble;
      return;
    }
    this.trouble = null;
    this.data = answer.data;
    this.at = book.now();
    void keep(this.#key, { at: this.at, data: $state.snapshot(answer.data) });
  };

  async #fromShelf(): Promise<void> {
    const found = await kept<T>(this.#key);
    if (!found) return;
    this.data = found.data;
    this.at = found.at;
  }
}
