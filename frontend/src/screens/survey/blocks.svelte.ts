/** What this phone holds of the blocks that are laid out, as a survival count needs it. */
import type { Seen } from "../../log/bodies";
import type { Entry } from "../../log/entry";
import { cropRows, layoutOf, seatOf, type RowOf } from "../../log/planting-row";
import {
  checkOf,
  countDue,
  daysOf,
  holesOf,
  monthsOf,
  progress,
  sampled,
  writtenAt,
  type Hole,
  type Layout,
  type Turn,
} from "../../log/survey";
import { standing } from "../../log/timeline";
import { local } from "../../words/local";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { now } from "../world.svelte";

export const layouts = (): readonly Layout[] => phone.rowsOf("layout").map((row) => layoutOf(row));

export function holes(layout: Layout, row: RowOf, waiting: readonly Seen[] = []): readonly Hole[] {
  const kept = phone.places.get(seatOf(layout.id, row)) ?? null;
  return holesOf(row, kept, Date.parse(now.at ?? book.now()), waiting, daysOf(layout));
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
    ...progress(holes(layout, row)),
  }));
}

/** The first day on which a plant of a block was planted, and the last on which one was looked at. */
function spanOf(layout: Layout): { planted: string | null; counted: string | null } {
  const plants = cropRows(layout).flatMap((row) =>
    holes(layout, row).flatMap(({ plant }) => (plant ? [plant] : [])),
  );
  const dayOf = (at: string): string => local(at, speech.house.zone).day;
  const planted = plants.filter(({ first }) => first).map(({ at }) => dayOf(at));
  const looks = plants.flatMap(({ look }) =>
    look === null ? [] : [dayOf(new Date(writtenAt(look)).toISOString())],
  );
  return { planted: planted.sort()[0] ?? null, counted: looks.sort().at(-1) ?? null };
}

export interface Due extends Turn {
  readonly due: boolean;
  /** The check that asks for it, as far as the office told of it. */
  readonly check: string | null;
  /** A record says that it is not made: the office's word, or this phone's. */
  readonly skipped: boolean;
}

/** The count of a block that is due or comes next; one that was skipped is not due (rule F-30). */
export function dueOf(layout: Layout): Due | null {
  const { planted, counted } = spanOf(layout);
  if (planted === null) return null;
  const days = daysOf(layout);
  const turn = countDue(planted, monthsOf(layout), counted, book.today, days);
  if (turn === null) return null;
  const check = turn.due ? checkOf(phone.checks, layout.id, turn) : null;
  const here = phone.places.get(layout.id)?.lately.skipped ?? [];
  const skipped = check !== null && (check.skipped_by !== null || here.includes(check.id));
  return { ...turn, due: turn.due && !skipped, check: check?.id ?? null, skipped };
}

/** Why a count is not made, as the standing records about its block tell. */
export function reasonsOf(entries: Iterable<Entry>, check: string | null): readonly string[] {
  return standing(entries).entries.flatMap((entry) => {
    if (entry.kind !== "skipped" || entry.body.check !== check) return [];
    return [(entry.body as { readonly reason?: string }).reason ?? ""];
  });
}
