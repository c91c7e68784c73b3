/** Which batches may stand together in one act: those near first. */
import { byText } from "../../log/entry";
import type { Seats } from "../../log/seats";
import type { KeptBatch } from "../../shelf/folding";

/** Living batches of one room, in order of their labels; all living ones where the batch stands nowhere. */
export function roomMates(
  batch: Pick<KeptBatch, "place"> | null,
  all: Iterable<KeptBatch>,
  seats: Seats,
): KeptBatch[] {
  const place = batch?.place ?? null;
  const room = place === null ? null : seats.room(place);
  return [...all]
    .filter((one) => !one.closed)
    .filter((one) => room === null || (one.place !== null && seats.room(one.place) === room))
    .sort((a, b) => byLabel(a.label ?? "", b.label ?? ""));
}

function byLabel(a: string, b: string): number {
  return a.length - b.length || byText(a, b);
}
