/** Letting one phone in: its code, and whether it has come. */
import type { components } from "../../net/api";
import type { Trouble } from "../../net/office";
import { book } from "../book.svelte";
import type { PhoneView } from "./staff.svelte";

type Invited = components["schemas"]["Invited"];

const ASK_EVERY_MS = 3000;

/** Make it while a component begins: it stops asking when that one goes. */
export class Joining {
  invited = $state.raw<Invited | null>(null);
  joined = $state.raw<PhoneView | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  asking = $state(false);
  #known: readonly string[] = [];

  constructor() {
    $effect(() => {
      if (this.invited === null || this.joined !== null) return;
      const timer = setInterval(() => void this.#look(), ASK_EVERY_MS);
      return () => {
        clearInterval(timer);
      };
    });
  }

  /** A new code; the phone that joins by it will bear this name. */
  async invite(name: string): Promise<void> {
    this.asking = true;
    const before = await this.#phones();
    const answer = before && (await book.tell<Invited>("POST", "/invites", { device_name: name }));
    this.asking = false;
    if (!before || !answer) return;
    if (!answer.ok) {
      this.trouble = answer.trouble;
      return;
    }
    this.#known = before.map(({ id }) => id);
    this.trouble = null;
    this.joined = null;
    this.invited = answer.data;
  }

  /** Back to the beginning, for one more phone. */
  again(): void {
    this.invited = null;
    this.joined = null;
  }

  async #look(): Promise<void> {
    const phones = await this.#phones();
    this.joined = phones?.find(({ id }) => !this.#known.includes(id)) ?? this.joined;
  }

  async #phones(): Promise<readonly PhoneView[] | null> {
    const answer = await book.ask<{ items: readonly PhoneView[] }>("/devices");
    if (answer.ok) return answer.data.items;
    this.trouble = answer.trouble;
    return null;
  }
}

/** The code as a picture that a page may show: black on white in every light. */
export function picture(svg: string): string {
  return `data:image/svg+xml,${encodeURIComponent(svg)}`;
}
