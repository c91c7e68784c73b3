import type { Trouble } from "../../net/office";
import { ShelfFault } from "../../shelf/handle";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";

/** Settling by a record: on a joined phone of the grower by that, else at the desk. */
export class Settling {
  trouble = $state.raw<Trouble | null>(null);
  unkept = $state(false);
  busy = $state(false);

  /** Whether it is written down. */
  async write(
    says: string,
    about: readonly string[],
    body: Readonly<Record<string, unknown>>,
  ): Promise<boolean> {
    this.busy = true;
    this.trouble = null;
    try {
      if (phone.own && phone.writer && phone.role === "grower") {
        await phone.act(says, { kind: "settled", about, body });
        return true;
      }
      const answer = await book.tell("POST", "/records", { kind: "settled", about, body });
      if (!answer.ok) this.trouble = answer.trouble;
      return answer.ok;
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
      this.unkept = true;
      return false;
    } finally {
      this.busy = false;
    }
  }

  /** Tell the office something that is no record. */
  async tell(path: string): Promise<boolean> {
    this.busy = true;
    const answer = await book.tell("POST", path);
    this.busy = false;
    this.trouble = answer.ok ? null : answer.trouble;
    return answer.ok;
  }
}
