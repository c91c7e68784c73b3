import { phone } from "../phone.svelte";

/** Labels of living batches on this phone. */
export function livingLabels(): string[] {
  return [...phone.batches.values()].flatMap(({ label, closed }) =>
    closed || label === null ? [] : [label],
  );
}

/** The short names that stand on the labels of places. */
export function shortNames(): string[] {
  return phone.rowsOf("place").flatMap(({ body }) => {
    const short = body["short"];
    return typeof short === "string" ? [short] : [];
  });
}

/** An id for a batch that begins on this phone. */
export function newBatchId(): string {
  return crypto.randomUUID();
}
