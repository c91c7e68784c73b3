/** The positions of a block as one long list, of which only what is in sight is made. */
import { meantFor, nameAt, seatOf, type Stood } from "../../log/planting-row";
import type { Occupant } from "../../log/positions";
import type { BlockLayout, BlockRow } from "./shapes";

export interface Line {
  readonly row: BlockRow;
  /** Null is the head of the row. */
  readonly name: string | null;
  readonly meant: string | null;
  readonly stands: Occupant | null;
  readonly empty: boolean;
}

const NOWHERE: BlockRow = { number: 0, first: 1, holes: 0 };

export class Listed {
  readonly count: number;
  readonly #rows: readonly BlockRow[];
  /** Where the head of each row stands. */
  readonly #heads: readonly number[];

  readonly layout: BlockLayout;
  readonly stood: (seat: string) => Stood | undefined;

  constructor(layout: BlockLayout, stood: (seat: string) => Stood | undefined) {
    this.layout = layout;
    this.stood = stood;
    this.#rows = [...layout.rows].sort((a, b) => a.number - b.number);
    const heads: number[] = [];
    let at = 0;
    for (const { holes } of this.#rows) {
      heads.push(at);
      at += holes + 1;
    }
    this.#heads = heads;
    this.count = at;
  }

  headOf(number: number): number {
    return this.#heads[this.#rows.findIndex((row) => row.number === number)] ?? 0;
  }

  lines(first: number, end: number): Line[] {
    return Array.from({ length: Math.max(0, Math.min(end, this.count) - first) }, (_, i) =>
      this.#line(first + i),
    );
  }

  #line(at: number): Line {
    const n = this.#rowAt(at);
    const row = this.#rows[n] ?? NOWHERE;
    const along = at - (this.#heads[n] ?? 0) - 1;
    if (along < 0) return { row, name: null, meant: null, stands: null, empty: false };
    const name = nameAt(row, along);
    const stood = this.stood(seatOf(this.layout.id, row));
    return {
      row,
      name,
      meant: meantFor(this.layout, name),
      stands: stood?.positions[name] ?? null,
      empty: stood?.left_empty.includes(name) ?? false,
    };
  }

  #rowAt(at: number): number {
    let low = 0;
    let high = this.#heads.length - 1;
    while (low < high) {
      const mid = (low + high + 1) >> 1;
      if ((this.#heads[mid] ?? 0) <= at) low = mid;
      else high = mid - 1;
    }
    return low;
  }
}
