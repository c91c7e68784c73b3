/** A sheet of paper as it is typed in: whose it is, its two hours, and what stands in its boxes. */
import type { Instant } from "../../log/entry";
import { NO_LINE, NO_TRAP, type Paper, type TypedLine, type TypedTrap } from "../../log/sheet";
import { hourOf } from "../../parts/hour";
import { dayOf, type When } from "../acts/when";
import { instantAt } from "../day";

export interface Form {
  by: string;
  when: Pick<When, "day" | "on">;
  hours: Record<string, string>;
  photos: string[];
  /** Whether the sheet says other figures than all for the plants that were looked at. */
  counted: boolean;
  plants: Record<string, string>;
  keeps: boolean | null;
  lines: Record<string, TypedLine>;
  traps: Record<string, TypedTrap>;
}

export const BLANK: Form = {
  ...{ by: "", when: { day: "today", on: null }, hours: {}, photos: [] },
  ...{ counted: false, plants: {}, keeps: null, lines: {}, traps: {} },
};

/** What keeps a sheet from being saved: a code with its words under `frompaper.` */
export type Lacks = "who" | "hours" | "order" | "ahead" | "ticks";

export function ticks({ lines, traps }: Pick<Form, "lines" | "traps">): number {
  return (
    Object.values(lines).filter(({ answer }) => answer !== "").length +
    Object.values(traps).filter(({ said }) => said !== "").length
  );
}

/** When it was begun and ended, as far as that is said. */
function span(form: Form, today: string, zone: string): readonly (Instant | null)[] {
  const day = dayOf(form.when, today);
  return ["from", "until"].map((key) => {
    const hour = hourOf(form.hours[key] ?? "");
    return day === null || hour === null ? null : instantAt(day, hour, zone);
  });
}

/** The sheet, or what it lacks. */
export function paperOf(
  form: Form,
  at: { readonly today: string; readonly zone: string; readonly now: string },
): Paper | Lacks {
  if (form.by === "") return "who";
  const [from, until] = span(form, at.today, at.zone);
  if (!from || !until) return "hours";
  if (until < from) return "order";
  if (until > at.now) return "ahead";
  if (ticks(form) === 0) return "ticks";
  return { by: form.by, from, until, photo: form.photos[0] ?? null };
}

export function lineOf(form: Form, id: string): TypedLine {
  return form.lines[id] ?? NO_LINE;
}

export function trapOf(form: Form, id: string): TypedTrap {
  return form.traps[id] ?? NO_TRAP;
}
