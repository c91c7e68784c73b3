/**
 * Looks at positions, each saved as a record of its own, in their order and one at a time.
 *
 * A position counts as looked at from the tap on; where the phone can keep nothing it is asked again
 * at once, and the sheet says so.
 */
import type { Seen } from "../../log/bodies";
import type { RowOf } from "../../log/planting-row";
import { surveyed } from "../../log/survey";
import { buzz } from "../../parts/buzz";
import { ShelfFault } from "../../shelf/handle";
import { phone } from "../phone.svelte";

export class Looks {
  /** What the fold of the row does not tell yet. */
  waiting = $state.raw<readonly Seen[]>([]);
  unkept = $state(false);
  readonly #block: string;
  readonly #row: RowOf;
  #last: Promise<void> = Promise.resolve();

  constructor(block: string, row: RowOf) {
    this.#block = block;
    this.#row = row;
  }

  see(some: readonly Seen[], says: string): void {
    this.waiting = [...this.waiting, ...some];
    this.#last = this.#last.then(() => this.#save(some, says));
  }

  async #save(some: readonly Seen[], says: string): Promise<void> {
    try {
      await phone.tap(says, surveyed(this.#block, this.#row, some));
      this.unkept = false;
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
      this.unkept = true;
      buzz();
    } finally {
      this.waiting = this.waiting.filter((one) => !some.includes(one));
    }
  }
}
