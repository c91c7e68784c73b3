/** Whether there is a tested backup, as the office says it; asked again while one is being made. */
import type { components } from "../../net/api";
import type { Trouble } from "../../net/office";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";

export type BackupView = components["schemas"]["Backup"];

const ASK_EVERY_MS = 3000;

/** Make it while a component begins. */
export class Safety {
  readonly sheet = new Sheet<BackupView>("backup", () => book.ask<BackupView>("/backup"));
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

  make(): Promise<void> {
    return this.#tell("POST", "/backup");
  }

  /** Put backups into a folder, the next one at once; an empty one is that beside the book. */
  async choose(folder: string): Promise<void> {
    await this.#tell("PUT", "/backup/place", { folder });
    if (this.trouble === null && this.sheet.data?.may_make) await this.make();
  }

  async #tell(method: "POST" | "PUT", path: string, body?: object): Promise<void> {
    this.busy = true;
    const answer = await book.tell<BackupView>(method, path, body);
    this.busy = false;
    this.trouble = answer.ok ? null : answer.trouble;
    if (answer.ok) this.sheet.data = answer.data;
  }
}

/** Sizes as people say them: a decimal mark only where the figure is small. */
export function megabytes(bytes: number): number {
  const mb = bytes / 1e6;
  return mb < 10 ? Math.max(0.1, Math.round(mb * 10) / 10) : Math.round(mb);
}

/** Seconds with one decimal up to ten, whole ones above. */
export function seconds(value: number): number {
  return value < 10 ? Math.round(value * 10) / 10 : Math.round(value);
}
