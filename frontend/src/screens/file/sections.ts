/** What is asked of a release file, each answered by one list of it. */
import type { Happened, ReleaseFile } from "../../net/file";
import type { Key } from "../../words/catalogue";

export interface Section {
  /** Behind the file's address. */
  readonly name: string;
  readonly sign: string;
  readonly says: Key;
  /** The records that answer it; a section without any is drawn in a way of its own. */
  readonly records?: (file: ReleaseFile) => readonly Happened[];
}

const of = (some: readonly Happened[], ...kinds: readonly string[]): readonly Happened[] =>
  some.filter(({ kind }) => kinds.includes(kind));

export function inOrder(...lists: readonly (readonly Happened[])[]): Happened[] {
  return lists.flat().sort((a, b) => (a.at === b.at ? a.seq - b.seq : a.at < b.at ? -1 : 1));
}

/** The acts and papers of the consignment, in order; without the daily counts and visits. */
export function acts(file: ReleaseFile): Happened[] {
  const { arrivals, finds, orders, treatments, inspections, acceptances, notified } = file;
  const { samples, releases, room, not_done: notDone, exceptions } = file;
  return inOrder(
    ...[arrivals, finds, samples, orders, treatments, inspections, acceptances, notified],
    ...[of(room, "breached", "repaired", "emptied", "readied"), notDone, exceptions, releases],
  );
}

export const SECTIONS: readonly Section[] = [
  { name: "where", sign: "bench", says: "file.where" },
  { name: "visits", sign: "door", says: "file.visits", records: ({ visits }) => visits },
  { name: "looks", sign: "look-over", says: "file.looks" },
  {
    ...{ name: "screen", sign: "torn", says: "file.screen" },
    records: ({ room }) => of(room, "breached", "repaired", "described"),
  },
  {
    ...{ name: "bag", sign: "bag", says: "file.bag" },
    records: ({ losses, bag }) => inOrder(losses, bag),
  },
  { name: "changes", sign: "wrong-fix", says: "file.changes" },
  { name: "shared", sign: "who", says: "file.shared" },
  {
    ...{ name: "receivers", sign: "send", says: "file.receivers" },
    records: ({ ways }) => of(ways, "sent", "returned", "moved"),
  },
  {
    ...{ name: "bath", sign: "measure", says: "file.bath" },
    records: ({ room }) => of(room, "dosed", "cleaned"),
  },
  { name: "people", sign: "key", says: "file.people" },
];

export function sectionOf(name: string): Section | null {
  return SECTIONS.find((one) => one.name === name) ?? null;
}
