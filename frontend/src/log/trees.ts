/**
 * Shelter trees: how many of each row stand, what took the others, which were harmed (rule F-32).
 *
 * Twin of `nursery/domain/field/trees.py`; `tests/vectors/trees.json` keeps the two alike. A phone
 * works it out from the records themselves, since nobody was planted there whom a fold would keep.
 */
import type { Seen } from "./bodies";
import { byText, type Entry, type Instant } from "./entry";
import { isCrop, nameAt, seatOf, type RowOf, type Stood } from "./planting-row";
import { lives } from "./positions";
import { standing } from "./timeline";

const WHOLE = 100;
const FELLING = "felling";
const UNKNOWN = "unknown";

/** So many percent of the trees that stood on a day were taken out; `trees` of them. */
export interface Felled {
  readonly on: string;
  readonly percent: number;
  readonly trees: number;
}

export interface TreeRow {
  readonly number: number;
  readonly species: string | null;
  /** Trees by the layout, of which `causes` tells those lost since. */
  readonly planted: number;
  readonly causes: Readonly<Record<string, number>>;
  readonly felled: readonly Felled[];
  readonly standing: number;
  /** Trees that stand, and that something harmed by their last look. */
  readonly harmed: number;
}

export interface Block {
  readonly id: string;
  readonly rows: readonly RowOf[];
}

interface Walked {
  readonly row: RowOf;
  readonly last: Map<string, Seen>;
  readonly felled: Felled[];
}

export const shelterRows = ({ rows }: Pick<Block, "rows">): readonly RowOf[] =>
  rows.filter((row) => !isCrop(row)).sort((a, b) => a.number - b.number);

/** The subjects whose records tell of trees: the block, and its shelter rows. */
export const subjectsOf = (block: Block): readonly string[] => [
  block.id,
  ...shelterRows(block).map((row) => seatOf(block.id, row)),
];

/** The shelter rows of a block as its records tell, in the order of their numbers. */
export function treesOf(
  block: Block,
  entries: Iterable<Entry>,
  dayOf: (at: Instant) => string,
): readonly TreeRow[] {
  const found = new Map<string, Walked>();
  const names = new Map<string, Walked>();
  for (const row of shelterRows(block)) {
    const walked: Walked = { row, last: new Map(), felled: [] };
    found.set(String(row.number), walked);
    for (let i = 0; i < row.holes; i += 1) names.set(nameAt(row, i), walked);
  }
  for (const entry of standing(entries).entries) {
    if (entry.kind === "surveyed" && entry.body.block === block.id) {
      for (const one of entry.body.seen) names.get(one.position)?.last.set(one.position, one);
    }
    const felled = thinnedBy(entry);
    if (felled?.block === block.id) fell(found, felled, dayOf(entry.occurredAt));
  }
  return [...found.values()].map(told);
}

interface Thinned {
  readonly block: string;
  readonly rows: readonly string[];
  readonly percent: number;
}

function thinnedBy(entry: Entry): Thinned | null {
  const told = entry.kind === "other" && entry.named === "thinned" && !entry.unread;
  return told ? (entry.body as unknown as Thinned) : null;
}

/** A share of what stands, to whole trees; a half tree stands on. */
function fell(found: ReadonlyMap<string, Walked>, { rows, percent }: Thinned, on: string): void {
  const share = Math.min(Math.max(percent, 0), WHOLE);
  for (const name of new Set(rows)) {
    const walked = found.get(name);
    if (!walked) continue;
    const stood = standingIn(walked);
    const left = partOf(stood, share);
    walked.felled.push({ on, percent: share, trees: stood - left });
  }
}

/** How many of some trees stand on after a share in percent was taken. */
export const partOf = (trees: number, percent: number): number =>
  Math.floor((trees * (WHOLE - percent)) / WHOLE + 0.5);

const goneIn = ({ last }: Walked): readonly Seen[] =>
  [...last.values()].filter((one) => !lives(one));

/** Trees that were felled bear no names: told of as dead later on, they are gone but once. */
function standingIn(walked: Walked): number {
  const taken = walked.felled.reduce((sum, { trees }) => sum + trees, 0);
  return Math.max(0, walked.row.holes - goneIn(walked).length - taken);
}

function told(walked: Walked): TreeRow {
  const { row, last, felled } = walked;
  const lost = goneIn(walked).map(({ cause }) => cause ?? UNKNOWN);
  const trees = standingIn(walked);
  const harmed = [...last.values()].filter((one) => lives(one) && Boolean(one.cause)).length;
  return {
    ...{ number: row.number, species: row.species ?? null, planted: row.holes },
    ...{ causes: tallied(lost), felled, standing: trees, harmed: Math.min(harmed, trees) },
  };
}

function tallied(causes: readonly string[]): Record<string, number> {
  const found: Record<string, number> = {};
  for (const cause of [...causes].sort(byText)) found[cause] = (found[cause] ?? 0) + 1;
  return found;
}

export const lostOf = ({ causes }: Pick<TreeRow, "causes">): number =>
  Object.values(causes).reduce((sum, n) => sum + n, 0);

export const felledOf = ({ felled }: Pick<TreeRow, "felled">): number =>
  felled.reduce((sum, { trees }) => sum + trees, 0);

/** Several rows in one, such as those of a species. */
export function together(rows: readonly TreeRow[]): Omit<TreeRow, "number" | "species"> {
  const causes = rows.flatMap((row) =>
    Object.entries(row.causes).flatMap(([cause, n]) => Array.from({ length: n }, () => cause)),
  );
  const sum = (of: "planted" | "standing" | "harmed"): number =>
    rows.reduce((all, row) => all + row[of], 0);
  return {
    ...{ planted: sum("planted"), standing: sum("standing"), harmed: sum("harmed") },
    ...{ causes: tallied(causes), felled: rows.flatMap(({ felled }) => felled) },
  };
}

/** The plants of the crop that felling harmed: those that live, and those that it took. */
export function cropHarmed(
  block: Block,
  stood: (seat: string) => Stood | undefined,
): { readonly harmed: number; readonly lost: number } {
  const plants = block.rows
    .filter(isCrop)
    .flatMap((row) => Object.values(stood(seatOf(block.id, row))?.positions ?? {}))
    .filter(({ cause }) => cause === FELLING);
  const harmed = plants.filter(lives).length;
  return { harmed, lost: plants.length - harmed };
}
