import { takenBack } from "../log/fix";
import type { Draft } from "../log/write";
import type { CopyLine } from "../shelf/copy";
import type { OutboxRow } from "../shelf/row";

/** What was saved last, for as long as it can be taken back by one tap. */
export interface Last {
  readonly rows: readonly OutboxRow[];
  /** What it says on the button: "T5: 2 dead". */
  readonly says: string;
  /** The batch of which it planted so many. */
  readonly planted?: Planted | undefined;
}

export interface Planted {
  readonly batch: string;
  readonly plants: number;
}

/** What takes records back that were just saved, in one act. `about` gives all about a subject. */
export async function takingBack(
  rows: readonly OutboxRow[],
  about: (subject: string) => Promise<readonly CopyLine[]>,
): Promise<Draft[]> {
  return Promise.all(
    rows.map(async ({ id, text }) => {
      const entry = JSON.parse(text) as { about: string[] };
      const lines = await about(entry.about[0] ?? "");
      const raws = lines.map((line) => JSON.parse(line.text) as unknown);
      const plain = { kind: "withdrawn", about: entry.about, body: { saw: id }, corrects: id };
      return takenBack(id, raws) ?? plain;
    }),
  );
}
