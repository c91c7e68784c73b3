/** The people of the nursery as rows: who works here, on which tile, until when. */
import type { Pinned } from "../who/pin";

export interface Tile {
  readonly colour: string;
  readonly shape: string;
}

/** A training or a licence, as its paper says; without a last day it does not end. */
export interface PaperBody {
  readonly what: string;
  readonly number?: string | null;
  readonly since?: string | null;
  readonly until?: string | null;
}

export const PAPERS = ["trainings", "licences"] as const;
export type PaperField = (typeof PAPERS)[number];

export interface PersonBody extends Pinned {
  readonly name: string;
  readonly role: string;
  readonly language: string;
  readonly tile?: Tile | null;
  readonly since?: string | null;
  /** The last day here; the records stay. */
  readonly until?: string | null;
  readonly trainings?: readonly PaperBody[] | null;
  readonly licences?: readonly PaperBody[] | null;
  /** The day on which all but a number was erased. */
  readonly erased?: string | null;
}

export interface PersonRow {
  readonly id: string;
  readonly rev: number;
  readonly body: PersonBody;
}

export const SHAPES = [
  ...(["triangle", "circle", "square", "bars"] as const),
  ...(["diamond", "cross", "drop", "arch"] as const),
] as const;
export const COLOURS = ["blue", "orange", "green", "violet", "red", "black"] as const;
export const ROLES = ["worker", "grower"] as const;

export function isGone({ body }: PersonRow, today: string): boolean {
  return typeof body.until === "string" && body.until < today;
}

const DAY_MS = 86_400_000;

/** The last day of somebody who left: yesterday, so that the tile goes at once. */
export function lastDay(since: string | null, today: string): string {
  const yesterday = new Date(Date.parse(today) - DAY_MS).toISOString().slice(0, 10);
  return since !== null && since > yesterday ? since : yesterday;
}

/** Who is here, by name, and who left, the latest first. */
export function sorted(
  rows: readonly PersonRow[],
  today: string,
  language: string,
): { here: readonly PersonRow[]; gone: readonly PersonRow[] } {
  const byName = (a: PersonRow, b: PersonRow): number =>
    a.body.name.localeCompare(b.body.name, language);
  const here = rows.filter((row) => !isGone(row, today)).sort(byName);
  const gone = rows
    .filter((row) => isGone(row, today))
    .sort((a, b) => (b.body.until ?? "").localeCompare(a.body.until ?? ""));
  return { here, gone };
}

/**
 * A tile that nobody here has: another shape while there are any, so that no two people are told
 * apart by colour alone; then another colour.
 */
export function freeTile(here: readonly PersonRow[]): Tile {
  const taken = here.map(({ body }) => body.tile).filter((tile) => tile != null);
  const usedBy = (shape: string): Set<string> =>
    new Set(taken.filter((tile) => tile.shape === shape).map(({ colour }) => colour));
  const shape = [...SHAPES].sort((a, b) => usedBy(a).size - usedBy(b).size)[0] ?? "triangle";
  const all = new Set(taken.map(({ colour }) => colour));
  const colour =
    COLOURS.find((one) => !all.has(one)) ?? COLOURS.find((one) => !usedBy(shape).has(one));
  return { shape, colour: colour ?? "black" };
}

/** Whose tile this is already, other than the person's own. */
export function holderOf(
  tile: Tile,
  here: readonly PersonRow[],
  own: string | null,
): PersonRow | null {
  const same = ({ id, body }: PersonRow): boolean =>
    id !== own && body.tile?.shape === tile.shape && body.tile.colour === tile.colour;
  return here.find(same) ?? null;
}

/** An id for somebody new: their name in plain letters, with a figure where that is taken. */
export function newId(prefix: string, name: string, taken: readonly string[]): string {
  const plain = name
    .normalize("NFKD")
    .replace(/[^\w\s-]/g, "")
    .trim()
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 40);
  const stem = `${prefix}-${plain || "new"}`;
  if (!taken.includes(stem)) return stem;
  let n = 2;
  while (taken.includes(`${stem}-${n}`)) n += 1;
  return `${stem}-${n}`;
}

/** An id for a person that tells nothing of them, so that their name can be erased one day. */
export function newPersonId(taken: readonly string[], letters: () => string): string {
  for (;;) {
    const id = `p-${letters()}`;
    if (!taken.includes(id)) return id;
  }
}

/** Papers as they are kept: those of which nothing is typed were begun and left. */
export function written(papers: readonly PaperBody[]): PaperBody[] {
  return papers
    .map(({ what, number, until, ...more }) => ({
      ...more,
      what: what.trim(),
      ...(number?.trim() ? { number: number.trim() } : {}),
      ...(until ? { until } : {}),
    }))
    .filter((paper) => paper.what !== "" || Object.keys(paper).length > 1);
}
