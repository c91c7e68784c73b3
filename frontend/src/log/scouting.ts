/**
 * Looking over plants of a row in the field, as its form has it, and the records that it makes.
 *
 * The office works out what the looking is worth (`nursery/domain/field/scouting.py`, rules F-20 to
 * F-22): so a look tells how many plants were seen, and each find is a record of its own.
 */
import type { Instant } from "./entry";
import { minutesOf, type LookAnswer } from "./look";
import { cropRows, nameAt, seatOf, type LayoutOf, type RowOf, type Stood } from "./planting-row";
import { lives } from "./positions";
import type { Draft } from "./write";

export interface ScoutForm {
  /** When the sheet was opened; empty where it was not. */
  since: string;
  answer: LookAnswer | "";
  /** Plants that were looked at; none as long as nobody said. */
  plants: number;
  symptom: string;
  part: string;
  pest: string;
  /** Positions of the plants that have it. */
  positions: string[];
  /** Figures of one more position, which was typed and not yet taken in. */
  typed: { at: string };
  why: string;
  /** Names of the pictures taken of what was found. */
  photos: string[];
}

export const BLANK: ScoutForm = {
  ...{ since: "", answer: "", plants: 0, symptom: "", part: "", pest: "" },
  ...{ positions: [], typed: { at: "" }, why: "", photos: [] },
};

export interface About {
  readonly block: string;
  readonly row: RowOf;
  /** Who stands in the row, where this phone knows it. */
  readonly kept: Stood | null;
  readonly now: Instant;
  /** What is found is handled as a suspicion: the pest is on a list. */
  readonly grave: boolean;
}

/** Plants of a row that live, as far as this phone knows; its positions where it knows of no plant. */
export function mostOf(row: RowOf, kept: Stood | null): number {
  const plants = Object.values(kept?.positions ?? {});
  return plants.length === 0 ? row.holes : plants.filter(lives).length;
}

/** The positions at which something can be found: those with a living plant, else all of the row. */
export function pickable(row: RowOf, kept: Stood | null): readonly string[] {
  const all = Array.from({ length: row.holes }, (_, i) => nameAt(row, i));
  const living = all.filter((name) => {
    const plant = kept?.positions[name];
    return plant !== undefined && lives(plant);
  });
  return living.length === 0 ? all : living;
}

/** A position taken into those that have it, or out of them, in walking order. */
export function toggled(chosen: readonly string[], name: string): string[] {
  if (chosen.includes(name)) return chosen.filter((one) => one !== name);
  return [...chosen, name].sort((a, b) => Number(a) - Number(b));
}

/** Whether a position of the row has these figures. */
export function isIn({ first, holes }: RowOf, typed: string): boolean {
  return Number(typed) >= first && Number(typed) < first + holes;
}

/** The positions with what was typed beside them, once; what is not in the row is left out. */
export function withTyped({ positions, typed }: ScoutForm, row: RowOf): string[] {
  const name = String(Number(typed.at));
  if (!isIn(row, typed.at) || positions.includes(name)) return [...positions];
  return toggled(positions, name);
}

/** Whether the answer can be saved: who looked says at how many, who did not says why. */
export function ready({ answer, plants, why }: ScoutForm): boolean {
  return answer === "not_looked" ? why !== "" : answer !== "" && plants > 0;
}

/** The row comes first, then the batches of the plants that have it, each once. */
export function subjectsOf(positions: readonly string[], { block, row, kept }: About): string[] {
  const batches = positions.flatMap((name) => kept?.positions[name]?.batch ?? []);
  return [seatOf(block, row), ...new Set(batches)];
}

/** The records of one look, saved in one act: how many were looked at, and what was found. */
export function scoutDrafts(form: ScoutForm, about: About): Draft[] {
  const { answer, plants, why, since } = form;
  const seat = seatOf(about.block, about.row);
  if (answer === "not_looked")
    return [{ kind: "looked", about: [seat], body: { answer, ...text({ why }) } }];
  const minutes = minutesOf(since, about.now);
  const body = { answer, plants, ...(minutes === null ? {} : { minutes }) };
  const looked = { kind: "looked", about: [seat], body };
  return answer === "found" ? [looked, foundDraft(form, about)] : [looked];
}

/** What was found; always a record, so that nothing is said of absence meanwhile (rule F-22). */
export function foundDraft({ symptom, part, pest, positions }: ScoutForm, about: About): Draft {
  const told = text({ pest, symptom, part });
  const at = positions.length === 0 ? {} : { positions: [...positions], plants: positions.length };
  const body = { suspicion: about.grave, ...told, ...at };
  return { kind: "found", about: subjectsOf(positions, about), body };
}

/** The next row of the crop after the one looked at last, none of which were looked at yet. */
export function nextRow(layout: LayoutOf, done: ReadonlySet<number>): RowOf | null {
  const rows = cropRows(layout);
  const last = rows.findLastIndex(({ number }) => done.has(number));
  return [...rows.slice(last + 1), ...rows].find(({ number }) => !done.has(number)) ?? null;
}

/** Without what says nothing. */
function text(given: Readonly<Record<string, string>>): Record<string, string> {
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== ""));
}
