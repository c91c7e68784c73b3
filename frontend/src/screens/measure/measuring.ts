/** Tagged plants as they are measured one by one, and the record that it makes. */
import {
  COUNTS,
  lastOf,
  MEASURES,
  type Measure,
  type Measuring,
  type Plant,
} from "../../log/growth";
import type { Draft } from "../../log/write";
import { readNumber } from "../../words/forms";

/** Fewer say little of a batch, more take too long. (Common practice: 10 to 30.) */
export const FEWEST = 10;
export const MOST = 30;
export const USUAL = 20;

export interface Form {
  /** Tags in the order in which they are asked for; null as long as nobody chose them. */
  tags: string[] | null;
  /** How many are chosen by their number. */
  many: number;
  /** The plant that is measured now; after the last one the whole is looked at. */
  at: number;
  /** Figures of each plant as they are typed. */
  figures: Record<string, Record<string, string>>;
  missing: string[];
  /** Plants of which a smaller figure is right because they were cut. */
  cut: string[];
}

export const UNMEASURED: Form = {
  ...{ tags: null, many: USUAL, at: 0, figures: {}, missing: [], cut: [] },
};

/** What is measured of a crop: what its profile's smallest size asks, else height and collar. */
export function measuresOf(least: readonly { readonly measure: string }[]): Measure[] {
  const asked = MEASURES.filter((one) => least.some(({ measure }) => measure === one));
  return asked.length === 0 ? ["height_cm", "collar_mm"] : asked;
}

/** How many may be tagged of so many that live. */
export function bounds(alive: number | null): { readonly least: number; readonly most: number } {
  const all = alive ?? MOST;
  return { least: Math.max(1, Math.min(FEWEST, all)), most: Math.max(1, Math.min(MOST, all)) };
}

export function numbered(many: number): string[] {
  return Array.from({ length: many }, (_, i) => String(i + 1));
}

/** A measure that is counted has no decimals. */
export function isCounted(measure: Measure): boolean {
  return COUNTS.some((one) => one === measure);
}

/** The figure that is typed, or null where it is none. Three decimals are no thousands here. */
export function figureOf(text: string | undefined): number | null {
  const typed = (text ?? "").replace(/[.,]$/, "");
  const read = readNumber(typed);
  return read === "ask" ? Number(typed.replace(",", ".")) : read;
}

export interface Shrunk {
  readonly measure: Measure;
  readonly now: number;
  readonly last: number;
}

/** Figures that are smaller than those of the last time: asked about once. */
export function shrunkOf(
  form: Form,
  tag: string,
  before: readonly Measuring[],
  measures: readonly Measure[],
): Shrunk[] {
  return measures.flatMap((measure) => {
    const now = figureOf(form.figures[tag]?.[measure]);
    const last = lastOf(before, tag, measure);
    return now !== null && last !== null && now < last ? [{ measure, now, last }] : [];
  });
}

/** The plants of the record: a missing one is kept with no figure, a blank one is left out. */
export function plantsOf(form: Form, measures: readonly Measure[]): Plant[] {
  return (form.tags ?? []).flatMap((tag) => {
    if (form.missing.includes(tag)) return [{ tag }];
    const told = measures.flatMap((measure) => {
      const figure = figureOf(form.figures[tag]?.[measure]);
      return figure === null ? [] : [[measure, figure] as const];
    });
    return told.length === 0 ? [] : [{ tag, ...Object.fromEntries(told) }];
  });
}

/** One record of all plants; what was cut since is said beside it, in a note. */
export function draftsOf(
  form: Form,
  id: string,
  measures: readonly Measure[],
  note: (tags: readonly string[]) => string,
): Draft[] {
  const plants = plantsOf(form, measures);
  const cut = form.cut.filter((tag) => plants.some((one) => one.tag === tag));
  return [
    { kind: "measured", about: [id], body: { plants } },
    ...(cut.length === 0 ? [] : [{ kind: "noted", about: [id], body: { text: note(cut) } }]),
  ];
}
