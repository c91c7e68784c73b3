/** What a worker can do from the first sheet, in the order in which a day brings it. */
import type { Key } from "../../words/catalogue";
import { phone } from "../phone.svelte";

interface Line {
  readonly sheet: string;
  readonly sign: string;
  readonly says: Key;
  /** A figure at the edge; nothing where there is nothing to tell. */
  readonly figure?: () => number | null;
  readonly shown?: () => boolean;
}

export const LINES: readonly Line[] = [
  { sheet: "stock", sign: "bench", says: "nav.stock", figure: () => phone.batches.size || null },
];
