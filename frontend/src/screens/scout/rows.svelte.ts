/** What this phone knows of the looks at the rows of a block, its own that wait included. */
import type { LastLook } from "../../log/lately";
import { cropRows, seatOf, type LayoutOf, type RowOf } from "../../log/planting-row";
import { mostOf } from "../../log/scouting";
import { speech } from "../../parts/speech.svelte";
import { local } from "../../words/local";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";

export interface RowLook {
  readonly row: RowOf;
  /** Plants that live in it, as far as this phone knows. */
  readonly plants: number;
  readonly last: LastLook | null;
  /** What was written of it today. */
  readonly today: LastLook | null;
}

export function rowLooks(layout: LayoutOf): readonly RowLook[] {
  return cropRows(layout).map((row) => {
    const kept = phone.places.get(seatOf(layout.id, row)) ?? null;
    const last = kept?.lately.look ?? null;
    const on = last && local(last.at, speech.house.zone).day;
    return { row, plants: mostOf(row, kept), last, today: on === book.today ? last : null };
  });
}

/** Plants looked at today, and how many rows somebody looked at. */
export function todays(rows: readonly RowLook[]): { plants: number; done: readonly RowLook[] } {
  const done = rows.filter(({ today }) => today !== null && today.answer !== "not_looked");
  return { plants: done.reduce((sum, { today }) => sum + (today?.plants ?? 0), 0), done };
}
