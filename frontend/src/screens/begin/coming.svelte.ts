/** A taken-away book on its way to an empty server: sent slice by slice, looked through, taken. */
import type { components } from "../../net/api";
import type { Trouble } from "../../net/office";
import { book } from "../book.svelte";

type OnItsWay = components["schemas"]["BookOnItsWay"];
export type BookTold = components["schemas"]["BookTold"];

// A book of many years is looked through line by line.
const OF_A_BOOK_MS = 1_800_000;
const PERCENT = 100;

export class Coming {
  name = $state<string | null>(null);
  percent = $state(0);
  told = $state.raw<BookTold | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  busy = $state<"sending" | "looking" | "bringing" | null>(null);
  #id = "";

  /** Send a file and have it looked through; of a large one no more than a slice is in memory. */
  async choose(file: File): Promise<void> {
    [this.name, this.percent, this.told] = [file.name, 0, null];
    [this.busy, this.trouble] = ["sending", null];
    if (await this.#send(file)) {
      this.busy = "looking";
      const told = await book.ask<BookTold>(`/begin/book/${this.#id}`, OF_A_BOOK_MS);
      if (told.ok) this.told = told.data;
      else this.trouble = told.trouble;
    }
    this.busy = null;
  }

  async #send(file: File): Promise<boolean> {
    const begun = await book.tell<OnItsWay>("POST", "/begin/book", {
      ...{ size: file.size, name: file.name },
    });
    if (!begun.ok) {
      this.trouble = begun.trouble;
      return false;
    }
    this.#id = begun.data.id;
    for (let at = 0; at < file.size; at += begun.data.slice) {
      const slice = file.slice(at, at + begun.data.slice);
      const path = `/begin/book/${this.#id}/slice?at=${at}`;
      const answer = await book.give<OnItsWay>("PUT", path, slice, "application/octet-stream");
      if (!answer.ok) {
        this.trouble = answer.trouble;
        return false;
      }
      this.percent = Math.floor((answer.data.came / file.size) * PERCENT);
    }
    return true;
  }

  /** Bring the book in and be signed in to it. */
  async take(email: string, password: string): Promise<boolean> {
    [this.busy, this.trouble] = ["bringing", null];
    const path = `/begin/book/${this.#id}`;
    const answer = await book.tell("POST", path, { email: email.trim(), password }, OF_A_BOOK_MS);
    this.busy = null;
    this.trouble = answer.ok ? null : answer.trouble;
    return answer.ok;
  }
}
