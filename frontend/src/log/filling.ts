/**
 * Which holes of a block get a new plant, by the rule that the block has.
 *
 * Twin of `nursery/domain/field/filling.py`; `tests/vectors/filling.json` keeps the two alike.
 */
import { cropRows, nameAt, seatOf, type LayoutOf, type RowOf, type Stood } from "./planting-row";
import { lives, type Occupant } from "./positions";
import type { Draft } from "./write";

export type Rule = "all" | "forest" | "clusters";

/** From so many losses on a forest is filled at all. (ILO/UNDP 1993, Planting Trees, 1.6.) */
const FOREST_SHARE = 0.2;
/** A plant with two neighbours that died stands in a group of three. (The same.) */
const CLUSTER = 3;

export interface FilledLayout extends LayoutOf {
  readonly fill?: Rule;
}

export interface Gap {
  readonly name: string;
  readonly row: RowOf;
  readonly gone: Occupant;
}

export interface Gaps {
  readonly holes: readonly Gap[];
  readonly left: readonly Gap[];
}

/** A position where a plant was lost; `open` where nobody stands there in its place yet. */
interface Lost extends Gap {
  readonly across: number;
  readonly along: number;
  readonly open: boolean;
}

/** The gaps of a block in walking order: those that its rule fills, and those that are left. */
export function gaps(layout: FilledLayout, stood: (row: RowOf) => Stood | undefined): Gaps {
  let planted = 0;
  const lost: Lost[] = [];
  cropRows(layout).forEach((row, across) => {
    const kept = stood(row);
    for (let along = 0; kept && along < row.holes; along += 1) {
      const name = nameAt(row, along);
      const plant = kept.positions[name];
      if (plant) planted += 1;
      if (plant && isLost(plant)) {
        lost.push({ name, row, gone: plant, across, along, open: !lives(plant) });
      }
    }
  });
  const chosen = chosenOf(lost, planted, layout.fill ?? "all");
  const open = lost.filter((one) => one.open);
  return {
    holes: open.filter((one) => chosen.has(one)),
    left: open.filter((one) => !chosen.has(one)),
  };
}

/**
 * Gone, or filled since: that was lost all the same, and half of a group that is filled leaves the
 * other half in its group.
 */
function isLost(plant: Occupant): boolean {
  return !lives(plant) || !plant.first;
}

function chosenOf(lost: readonly Lost[], planted: number, rule: Rule): ReadonlySet<Lost> {
  if (rule === "all") return new Set(lost);
  if (rule === "forest" && lost.length <= FOREST_SHARE * planted) return new Set();
  return new Set(
    groups(lost)
      .filter((group) => group.length >= CLUSTER)
      .flat(),
  );
}

/** Losses in groups of neighbours: the next in the row, and those beside it across. */
function groups(lost: readonly Lost[]): Lost[][] {
  const at = new Map(lost.map((one) => [`${one.across} ${one.along}`, one]));
  const rest = new Set(lost);
  const found: Lost[][] = [];
  for (const one of lost) {
    if (!rest.delete(one)) continue;
    const group = [one];
    // The list grows while it is walked.
    for (const member of group) {
      for (const near of around(member)) {
        const beside = at.get(near);
        if (beside && rest.delete(beside)) group.push(beside);
      }
    }
    found.push(group);
  }
  return found;
}

function around({ across, along }: Lost): string[] {
  return [-1, 0, 1].flatMap((a) => [-1, 0, 1].map((b) => `${across + a} ${along + b}`));
}

/** A new plant of a batch stands in a gap: a new occupant, never the first planting. */
export function refilled(block: string, { row, name }: Gap, batch: string): Draft {
  const body = { block, row: String(row.number), positions: [name] };
  return { kind: "refilled", about: [batch, seatOf(block, row)], body };
}
