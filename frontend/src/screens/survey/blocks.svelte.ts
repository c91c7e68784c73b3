/** What this phone holds of the blocks that are laid out, as a survival count needs it. */
import type { Seen } from "../../log/bodies";
import { cropRows, layoutOf, seatOf, type RowOf } from "../../log/planting-row";
import {
  countDue,
  holesOf,
  monthsOf,
  progress,
  sampled,
  writtenAt,
  type Hole,
  type Layout,
} from "../../log/survey";
import { local } from "../../words/forms";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { now } from "../world.svelte";

export const layouts = (): readonly Layout[] => phone.rowsOf("layout").map((row) => layoutOf(row));

export function holes(block: string, row: RowOf, waiting: readonly Seen[] = []): readonly Hole[] {
  const kept = phone.places.get(seatOf(block, row)) ?? null;
  return holesOf(row, kept, Date.parse(now.at ?? book.now()), waiting);
}

export interface RowTurn {
  readonly row: RowOf;
  readonly chosen: boolean;
  readonly done: number;
  readonly all: number;
}

/** The rows of the crop, each with how far it is counted, and whether the count asks for it. */
export function turnsOf(layout: Layout): readonly RowTurn[] {
  const chosen = sampled(layout);
  return cropRows(layout).map((row) => ({
    row,
    chosen: chosen.includes(row.number),
    ...progress(holes(layout.id, row)),
  }));
}

/** The first day on which a plant of a block was planted, and the last on which one was looked at. */
function daysOf(layout: Layout): { planted: string | null; counted: string | null } {
  const plants = cropRows(layout).flatMap((row) =>
    holes(layout.id, row).flatMap(({ plant }) => (plant ? [plant] : [])),
  );
  const dayOf = (at: string): string => local(at, speech.house.zone).day;
  const planted = plants.filter(({ first }) => first).map(({ at }) => dayOf(at));
  const looks = plants.flatMap(({ look }) =>
    look === null ? [] : [dayOf(new Date(writtenAt(look)).toISOString())],
  );
  return { planted: planted.sort()[0] ?? null, counted: looks.sort().at(-1) ?? null };
}

export function dueOf(layout: Layout) {
  const { planted, counted } = daysOf(layout);
  return planted === null ? null : countDue(planted, monthsOf(layout), counted, book.today);
}
