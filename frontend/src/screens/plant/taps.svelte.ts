/**
 * Taps on holes, each saved as a record of its own, in their order and one at a time.
 *
 * A hole counts as told from the moment of the tap; where the phone can keep nothing it is asked
 * again at once, and the sheet says so.
 */
import { recordOf, type RowOf, type Tap } from "../../log/planting-row";
import { buzz } from "../../parts/buzz";
import { ShelfFault } from "../../shelf/handle";
import { phone } from "../phone.svelte";

export class Taps {
  /** What the fold of the row does not tell yet. */
  waiting = $state.raw<readonly Tap[]>([]);
  unkept = $state(false);
  readonly #block: string;
  readonly #row: RowOf;
  #last: Promise<void> = Promise.resolve();

  constructor(block: string, row: RowOf) {
    this.#block = block;
    this.#row = row;
  }

  tap(tap: Tap, says: string): void {
    const save = (): Promise<void> => this.#save(tap, says);
    // It begins before the screen changes: a record does not wait for what is drawn.
    this.#last = this.waiting.length === 0 ? save() : this.#last.then(save);
    this.waiting = [...this.waiting, tap];
  }

  async #save(tap: Tap, says: string): Promise<void> {
    try {
      const { batch } = tap;
      const planted = batch === null ? undefined : { batch, plants: 1 };
      await phone.tap(says, recordOf(this.#block, this.#row, tap), planted);
      this.unkept = false;
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
      this.unkept = true;
      buzz();
    } finally {
      this.waiting = this.waiting.filter((one) => one !== tap);
    }
  }
}
