/** The columns of the account, and its sums. */
import type { ReleaseFile } from "../../net/file";

type Line = ReleaseFile["ledger"][number];
export type Column = Exclude<keyof Line, "batches">;

const ALWAYS: readonly Column[] = ["in", "alive", "died", "culled", "sampled", "destroyed"];
const SOMETIMES: readonly Column[] = [
  ...(["stolen", "planted", "sent", "split", "joined", "mixed", "settled"] as const),
  "difference",
];

/** What is asked of every consignment, and of the rest what there is anything of. */
export function columns(lines: readonly Line[]): readonly Column[] {
  return [...ALWAYS, ...SOMETIMES.filter((name) => lines.some((line) => line[name] !== 0))];
}

export function sums(lines: readonly Line[]): Readonly<Record<Column, number>> {
  const all = [...ALWAYS, ...SOMETIMES];
  return Object.fromEntries(
    all.map((name) => [name, lines.reduce((sum, line) => sum + line[name], 0)]),
  ) as Record<Column, number>;
}
