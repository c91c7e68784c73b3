import { takenBack } from "../log/fix";
import type { Draft } from "../log/write";
import type { CopyLine } from "../shelf/copy";
import type { OutboxRow } from "../shelf/row";

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
