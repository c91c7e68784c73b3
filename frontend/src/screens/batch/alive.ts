/** What is true of the largest figure of a sheet: it was counted, or follows from an older count. */
import type { Line } from "../../log/history";
import { local } from "../../words/local";
import { isCount } from "./lines";
import type { Voice } from "./telling";

/** Short lines, one below the other, beside the figure. */
export function aliveInWords(
  alive: number | null,
  lines: readonly Line[],
  { say, house }: Voice,
): string[] {
  const last = lines.find((line) => isCount(line));
  if (!last) return [say("batch.alive")];
  const on = local(last.reading.occurredAt, house.zone).day;
  const n = last.reading.body["alive"];
  return n === alive
    ? [say("batch.alive_counted", { on })]
    : [say("batch.alive"), say("batch.last_counted"), say("batch.counted_on", { on, n })];
}
