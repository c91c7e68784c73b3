/** What a person wrote on a day, as the records stand now. */
import { history, type Line } from "../../log/history";

/**
 * The lines that a person wrote, or put right, of the time between two instants; the newest first.
 *
 * @param raws every entry about the subjects of what that person wrote.
 */
export function writtenBy(
  person: string,
  raws: readonly unknown[],
  from: string,
  until: string,
): Line[] {
  return history(raws).filter(
    ({ by, changes, reading: { occurredAt } }) =>
      occurredAt >= from &&
      occurredAt <= until &&
      (by === person || changes.some(({ author }) => author === person)),
  );
}
