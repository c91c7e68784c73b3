/** The files of the whole book, as the office has them; asked again while one is being made. */
import type { components } from "../../net/api";
import type { Trouble } from "../../net/office";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";

export type Made = components["schemas"]["ExportsShape"];

const ASK_EVERY_MS = 2000;

/** Make it while a component begins. */
export class Away {
  readonly sheet = new Sheet<Made>("exports", () => book.ask<Made>("/exports"));
  trouble = $state.raw<Trouble | null>(null);
  busy = $state(false);

  constructor() {
    void this.sheet.load();
    $effect(() => {
      if (!this.sheet.data?.making) return;
      const timer = setInterval(() => void this.sheet.load(), ASK_EVERY_MS);
      return () => {
        clearInterval(timer);
      };
    });
  }

  async make(): Promise<void> {
    this.busy = true;
    const answer = await book.tell<Made>("POST", "/exports");
    this.busy = false;
    this.trouble = answer.ok ? null : answer.trouble;
    if (answer.ok) this.sheet.data = answer.data;
  }
}
