/** Traps of a field: which hang where in a drawing, and what is said of one that hangs nowhere. */
import { nameAt, type LayoutOf } from "../../log/planting-row";
import type { Drawing, Spot } from "../block/drawn";
import { TRAP_STATES, type TrapState, type TrapTold } from "./shapes";

/** A trap of a map by its number there, which the table bears as well. */
export interface Hung {
  readonly told: TrapTold;
  readonly number: number;
  readonly spot: Spot;
}

/** Marks are so many hundredths of a drawing wide: those of one position lie beside each other. */
export const MARK = 5;

/** The traps that hang at positions of a drawn block, each at its own. */
export function hungIn(
  { rows, unit }: Pick<Drawing, "rows" | "unit">,
  traps: readonly TrapTold[],
  block: string,
): Hung[] {
  const spots = new Map(
    rows.flatMap(({ row, spots: some }) => some.map((spot, i) => [nameAt(row, i), spot] as const)),
  );
  const taken = new Map<string, number>();
  return traps.flatMap((told, i) => {
    const at = told.hangs_at ?? "";
    const spot = told.block === block ? spots.get(at) : undefined;
    if (spot === undefined) return [];
    const beside = taken.get(at) ?? 0;
    taken.set(at, beside + 1);
    return [{ told, number: i + 1, spot: [spot[0] + beside * 2 * MARK * unit, spot[1]] as const }];
  });
}

/** The blocks in which a trap hangs at a position of the layout. */
export function blocksOf(traps: readonly TrapTold[]): string[] {
  const found = traps.flatMap(({ block, known }) => (known && block !== null ? [block] : []));
  return [...new Set(found)];
}

/** How many traps are in each state, the most pressing first; without those of which there is none. */
export function tallied(traps: readonly TrapTold[]): { state: TrapState; n: number }[] {
  return TRAP_STATES.map((state) => ({
    state,
    n: traps.filter((one) => stateOf(one) === state).length,
  })).filter(({ n }) => n > 0);
}

/** A trap that could never be read was never read, however long ago somebody stood before it. */
export function stateOf({ state, silent }: TrapTold): TrapState {
  return state === "late" && silent === null ? "never" : state;
}

/** Whether a layout has the position; rows of shelter count as those of the crop do. */
export function hasPosition({ rows }: LayoutOf, name: string): boolean {
  return rows.some((row) =>
    Array.from({ length: row.holes }, (_, i) => nameAt(row, i)).includes(name),
  );
}
