/** What this phone holds of the blocks that are laid out, as a survival count needs it. */
import { seat } from "../../log/positions";
import {
  countDue,
  cropRows,
  holesOf,
  layoutOf,
  progress,
  sampled,
  writtenAt,
  type Hole,
  type Layout,
  type Row,
} from "../../log/survey";
import { local } from "../../words/forms";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { now } from "../world.svelte";

export const layouts = (): readonly Layout[] =>
  phone.rowsOf("layout").map(({ id, body }) => layoutOf(id, body));

/** How a person calls a place on a line: its short name, else its name. */
export function shortOf(block: string): string {
  const short = phone.row("place", block)?.body["short"];
  return typeof short === "string" && short !== "" ? short : block;
}

export function holes(block: string, row: Row): readonly Hole[] {
  const kept = phone.places.get(seat(block, String(row.number))) ?? null;
  return holesOf(row, kept, Date.parse(now.at ?? book.now()));
}

export interface RowTurn {
  readonly row: Row;
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
  return planted === null ? null : countDue(planted, layout.countMonths, counted, book.today);
}
