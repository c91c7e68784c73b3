/** One file on its way in: looked at as often as something is said of it, then brought in. */
import type { Trouble } from "../../net/office";
import { book } from "../book.svelte";
import { NOTHING_SAID, query, type Choices } from "./said";
import type { Done, Preview } from "./shapes";

export class Bringing {
  file = $state.raw<File | null>(null);
  shown = $state.raw<Preview | null>(null);
  said = $state.raw<Choices>(NOTHING_SAID);
  done = $state.raw<Done | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  busy = $state<"looking" | "bringing" | null>(null);
  #turn = 0;

  /** A file that was chosen; one that was mended and chosen again keeps what was said of it. */
  async choose(file: File): Promise<void> {
    const again = this.file?.name === file.name && this.done === null;
    this.shown = null;
    this.done = null;
    this.file = file;
    await this.say(again ? { ...this.said, left_out: 0 } : NOTHING_SAID);
  }

  async say(said: Choices): Promise<void> {
    if (this.file === null) return;
    const mine = (this.#turn += 1);
    [this.said, this.busy, this.trouble] = [said, "looking", null];
    const at = `/stock-file/preview?${query(said, this.file.name)}`;
    const answer = await book.give<Preview>("POST", at, this.file);
    // What was asked last is what is shown.
    if (mine !== this.#turn) return;
    this.busy = null;
    if (answer.ok) this.shown = answer.data;
    else this.trouble = answer.trouble;
  }

  async bring(): Promise<void> {
    if (this.file === null || this.shown === null) return;
    [this.busy, this.trouble] = ["bringing", null];
    const at = `/stock-file?${query(this.said, this.file.name, { seal: this.shown.seal })}`;
    const answer = await book.give<Done>("POST", at, this.file);
    this.busy = null;
    if (answer.ok) {
      [this.done, this.shown] = [answer.data, null];
      return;
    }
    const { trouble } = answer;
    // The book moved on meanwhile: what it would become now is shown, and asked about once more.
    if (trouble.why === "trouble" && trouble.code === "stock_file_changed")
      await this.say(this.said);
    this.trouble = trouble;
  }
}
