/** A block that is planted, as this phone knows it: its layout, and what stands in its rows. */
import {
  cropRows,
  layoutOf,
  seatOf,
  sum,
  tally,
  type LayoutOf,
  type RowOf,
  type Stood,
  type Tally,
} from "../../log/planting-row";
import type { KeptBatch } from "../../shelf/folding";
import { phone } from "../phone.svelte";

const TOLD = new WeakMap<Stood, Tally>();

/** Make it while a component begins. */
export class Block {
  readonly #id: () => string;
  readonly layout: LayoutOf | null = $derived.by(() => {
    const row = phone.row("layout", this.#id());
    return row && layoutOf(row);
  });
  readonly rows: readonly RowOf[] = $derived(this.layout ? cropRows(this.layout) : []);
  readonly told: Tally = $derived(sum(this.rows.map((row) => this.tally(row))));

  constructor(id: () => string) {
    this.#id = id;
  }

  stood(row: RowOf): Stood | undefined {
    return phone.places.get(seatOf(this.#id(), row));
  }

  /** Counted once for each state of a row: a block of many rows is summed at each tap. */
  tally(row: RowOf): Tally {
    const stood = this.stood(row);
    if (!stood) return tally(row);
    const known = TOLD.get(stood);
    if (known) return known;
    const made = tally(row, stood);
    TOLD.set(stood, made);
    return made;
  }
}

/** `TR4`, as its label bears it. */
export function shortOf(id: string): string {
  const { short, name } = (phone.row("place", id)?.body ?? {}) as { short?: string; name?: string };
  return short ?? name ?? id;
}

/** Blocks that have a layout, by their names. */
export function laidOut(): readonly string[] {
  return phone
    .rowsOf("layout")
    .map(({ id }) => id)
    .sort((a, b) => shortOf(a).localeCompare(shortOf(b)));
}

/** Batches of which plants are out now, to be planted. */
export function carriedOut(): readonly KeptBatch[] {
  return [...phone.batches.values()]
    .filter(({ out }) => out > 0)
    .sort((a, b) => labelOf(a.id).localeCompare(labelOf(b.id)));
}

export function labelOf(batch: string): string {
  return phone.batches.get(batch)?.label ?? batch;
}
