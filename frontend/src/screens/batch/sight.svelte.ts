/** One batch as this phone has it on the disk: its records, and what follows from them. */
import type { Entry } from "../../log/entry";
import { history, type Line } from "../../log/history";
import { knownOf, type Known } from "../../log/known";
import type { CopyLine } from "../../shelf/copy";
import { entriesOf, type KeptBatch } from "../../shelf/folding";
import { phone } from "../phone.svelte";

/** Make it while a component begins; it reads again whenever the batch changed. */
export class Sight {
  /** Whether the records have been read. */
  ready = $state(false);
  #lines = $state.raw<readonly CopyLine[]>([]);
  readonly #id: () => string;

  constructor(id: () => string) {
    this.#id = id;
    $effect(() => {
      const subject = id();
      // A change of its state is a change of its records.
      return this.#read(subject, phone.batches.get(subject));
    });
  }

  /** Read its records; what is given back drops the answer. */
  #read(subject: string, state: KeptBatch | undefined): () => void {
    let over = state === undefined;
    void phone.about(subject).then((lines) => {
      if (over) return;
      this.#lines = lines;
      this.ready = true;
    });
    return () => {
      over = true;
    };
  }

  get kept(): KeptBatch | null {
    return phone.batches.get(this.#id()) ?? null;
  }

  readonly entries: readonly Entry[] = $derived.by(() => entriesOf(this.#lines));
  readonly lines: readonly Line[] = $derived.by(() => history(rawsOf(this.#lines)));
  readonly known: Known = $derived.by(() => knownOf(this.#id(), this.entries));
}

/** Decoded texts: what the rules of the log read. */
export function rawsOf(lines: readonly CopyLine[]): unknown[] {
  return lines.map(({ text }) => JSON.parse(text) as unknown);
}
