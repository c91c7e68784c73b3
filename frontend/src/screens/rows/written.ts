/** Writing rows of reference data at the office. */
import type { Answer } from "../../net/office";
import { book } from "../book.svelte";
import type { Row } from "../permits/shapes";

/** Write a row; what is empty is left out of it. */
export function saveRow<B extends object>(
  kind: string,
  id: string,
  rev: number,
  body: B,
): Promise<Answer<Row<B>>> {
  const kept = Object.fromEntries(
    Object.entries(body).filter(([, value]) => value !== null && value !== undefined),
  );
  return book.tell("PUT", `/rows/${kind}/${encodeURIComponent(id)}`, { rev, body: kept });
}

export function dropRow(kind: string, id: string): Promise<Answer<undefined>> {
  return book.tell("DELETE", `/rows/${kind}/${encodeURIComponent(id)}`);
}
