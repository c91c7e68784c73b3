import type { Answer } from "../../net/office";
import type { BatchView } from "../../net/views";
import { book } from "../book.svelte";
import { names } from "../names.svelte";
import { Sheet } from "../sheet.svelte";

/** A stay of a batch in a place; `until` is null while it stands there. */
export interface Stay {
  readonly place: string;
  readonly since: string;
  readonly until: string | null;
}

export interface Stayed extends BatchView {
  readonly stays: readonly Stay[];
}

/** Every batch with all its stays, closed ones too. */
export function stockSheet(): Sheet<readonly Stayed[]> {
  const sheet = new Sheet<readonly Stayed[]>("stock", fetched);
  void sheet.load();
  return sheet;
}

async function fetched(): Promise<Answer<readonly Stayed[]>> {
  const answer = await book.askAll<Stayed>("/batches?closed=true");
  if (answer.ok) names.labels(answer.data);
  return answer;
}
