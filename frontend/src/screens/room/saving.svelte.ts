import type { Draft } from "../../log/write";
import { buzz } from "../../parts/buzz";
import { ShelfFault } from "../../shelf/handle";
import { phone } from "../phone.svelte";

/** Saving what a form says; where the phone can keep nothing the form stays, and says so. */
export class Saving {
  unkept = $state(false);
  busy = $state(false);

  /** Whether it is on the disk. */
  async act(says: string, ...drafts: readonly Draft[]): Promise<boolean> {
    if (this.busy) return false;
    const saved = phone.act(says, ...drafts);
    // After it has begun: a record that is on its way to the disk does not wait for the screen.
    this.busy = true;
    try {
      await saved;
      this.unkept = false;
      return true;
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
      this.unkept = true;
      buzz();
      return false;
    } finally {
      this.busy = false;
    }
  }
}
