/** The rows of one type that a person may choose from today. */
import { isInUse } from "../log/in-use";
import type { CopyRow } from "../shelf/copy";
import { book } from "./book.svelte";
import { phone } from "./phone.svelte";

export function rowsInUse(type: string): readonly CopyRow[] {
  return phone.rowsOf(type).filter(({ body }) => isInUse(body, book.today));
}
