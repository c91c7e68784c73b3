/** A record in words: what its kind is called, and what it says. */
import type { Line, Reading } from "../../log/history";
import { local } from "../../words/local";
import { joined, plain, type NameOf, type Voice } from "./telling";
import { TELLINGS } from "./tellings";

export function kindOf(record: Reading, { say, word }: Voice): string {
  return word(`kind.${record.kind}`) ?? say("kind.other");
}

/** What the record says beyond its kind, on the sheet of a batch; empty where it says no more. */
export function lineOf(record: Reading, subject: string, voice: Voice, nameOf: NameOf): string {
  const parts = TELLINGS[record.kind] ?? [plain("reason")];
  return joined(parts, { body: record.body, subject, voice, nameOf }) ?? "";
}

/** Which kinds of record stand behind a term of the account. */
const BEHIND: Readonly<Record<string, readonly string[]>> = {
  in: ["received", "taken_on", "sown", "emerged", "stuck", "counted"],
  alive: ["counted", "taken_on"],
  difference: ["counted", "settled"],
  planted: ["planted", "refilled"],
  sent: ["sent", "returned"],
  split: ["split", "pricked"],
  joined: ["joined"],
  mixed: ["mixed"],
  settled: ["settled"],
};

export function behind({ kind, body }: Reading, term: string | null): boolean {
  if (term === null) return true;
  const kinds = BEHIND[term];
  if (kinds) return kinds.includes(kind);
  return (kind === "lost" || kind === "settled") && body["fate"] === term;
}

export function isCount({ reading, withdrawn }: Line): boolean {
  return reading.kind === "counted" && !withdrawn && reading.body["method"] !== "estimate";
}

export function isPhoto({ reading, withdrawn }: Line): boolean {
  return reading.kind === "photographed" && !withdrawn;
}

/** The first so many lines, and the days on which they stand. */
export function firstOf(
  days: readonly [string, Line[]][],
  most: number,
): readonly [string, readonly Line[]][] {
  const found: [string, readonly Line[]][] = [];
  let left = most;
  for (const [day, list] of days) {
    if (left <= 0) break;
    found.push([day, list.slice(0, left)]);
    left -= list.length;
  }
  return found;
}

/** The lines by their local day, in the order in which they come. */
export function byDay(lines: readonly Line[], zone: string): [string, Line[]][] {
  const days: [string, Line[]][] = [];
  for (const line of lines) {
    const { day } = local(line.reading.occurredAt, zone);
    const last = days.at(-1);
    if (last?.[0] === day) last[1].push(line);
    else days.push([day, [line]]);
  }
  return days;
}
