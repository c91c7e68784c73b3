import type { Draft } from "../../log/write";
import { buzz } from "../../parts/buzz";
import { ShelfFault } from "../../shelf/handle";
import { phone } from "../phone.svelte";

/** So long a form may be silent about a save that goes on. (Choice of the product.) */
const SLOW_MS = 400;

/** Saving what a form says; where the phone can keep nothing the form stays, and says so. */
export class Saving {
  unkept = $state(false);
  busy = $state(false);
  #going = false;

  /** Whether it is on the disk. */
  async act(says: string, ...drafts: readonly Draft[]): Promise<boolean> {
    if (this.#going) return false;
    this.#going = true;
    const saved = phone.act(says, ...drafts);
    // Only where it takes long: what the tap itself draws, the record on its way to the disk waits for.
    const slow = setTimeout(() => {
      this.busy = true;
    }, SLOW_MS);
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
      clearTimeout(slow);
      this.busy = false;
      this.#going = false;
    }
  }
}
