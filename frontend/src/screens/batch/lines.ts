/** A record in words: what its kind is called, and what it says. */
import type { Line as Told, Reading } from "../../log/history";
import type { Key } from "../../words/catalogue";
import { local, type Params } from "../../words/forms";

export interface Voice {
  readonly say: (key: Key, params?: Params) => string;
  readonly word: (key: string, params?: Params) => string | null;
}

/** What people call a place or a batch. */
export type NameOf = (type: "place" | "batch", id: string) => string;

type Body = Readonly<Record<string, unknown>>;
type Line = (body: Body, voice: Voice, nameOf: NameOf) => string | null;

export function kindOf(record: Reading, { say, word }: Voice): string {
  return word(`kind.${record.kind}`) ?? say("kind.other");
}

/** What the record says beyond its kind; empty where it says no more. */
export function lineOf(record: Reading, voice: Voice, nameOf: NameOf): string {
  return LINES[record.kind]?.(record.body, voice, nameOf) ?? text(record.body["reason"]) ?? "";
}

const LINES: Readonly<Record<string, Line>> = {
  received: (body, { say }) => {
    const n = figure(body["stated"]);
    return n === null ? null : say("line.received", { n });
  },
  taken_on: (body, { say }) => say("line.taken_on", { n: figure(body["alive"]) ?? 0 }),
  counted: ({ alive, method }, { say }) =>
    say("line.counted", { n: figure(alive) ?? 0, method: say(`method.${text(method)}` as Key) }),
  lost: ({ count, fate, cause }, voice) =>
    because(voice.word(`fate.${text(fate)}`, { n: figure(count) ?? 0 }), text(cause), voice),
  looked: ({ answer, plants, minutes, why }, voice) => {
    const result = voice.word(`look.${text(answer)}`);
    const n = figure(plants);
    const seen = n === null ? result : `${result}, ${voice.say("plants", { n })}`;
    const spent = figure(minutes);
    const line =
      spent === null ? seen : voice.say("line.minutes", { text: seen, minutes: Math.round(spent) });
    return because(line, text(why), voice);
  },
  inspected: ({ answer, plants }, { say, word }) =>
    `${word(`look.${text(answer)}`)}, ${say("plants", { n: figure(plants) ?? 0 })}`,
  moved: ({ to }, { say }, nameOf) => say("line.moved", { place: nameOf("place", text(to) ?? "") }),
  split: children,
  pricked: children,
  mixed: children,
  joined: children,
  sampled: ({ sample }) => text(sample),
  resulted: ({ sample, verdict }, { word }) =>
    `${text(sample)}, ${word(`result.${text(verdict)}`)}`,
  treated: ({ product }) => text(product),
  fed: ({ product }) => text(product),
  ordered: ({ reference, act }, { word }) => `${text(reference)}: ${word(`order.${text(act)}`)}`,
  released: ({ notice, count }, { say }) =>
    `${text(notice)}, ${say("plants", { n: figure(count) ?? 0 })}`,
  noted: (body) => text(body["text"]),
  relabelled: ({ old, new: now }) => `${text(old)} → ${text(now)}`,
};

function children(body: Body, { say }: Voice): string {
  const list = Array.isArray(body["children"]) ? (body["children"] as Body[]) : [];
  return say("line.into", { labels: list.map((child) => text(child["label"]) ?? "?") });
}

function because(line: string | null, reason: string | null, { say }: Voice): string | null {
  if (line === null || reason === null) return line;
  return say("line.reason", { text: line, reason });
}

function text(value: unknown): string | null {
  return typeof value === "string" && value !== "" ? value : null;
}

function figure(value: unknown): number | null {
  return typeof value === "number" ? value : null;
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

export function isCount({ reading, withdrawn }: Told): boolean {
  return reading.kind === "counted" && !withdrawn && reading.body["method"] !== "estimate";
}

/** The lines by their local day, in the order in which they come. */
export function byDay(lines: readonly Told[], zone: string): [string, Told[]][] {
  const days: [string, Told[]][] = [];
  for (const line of lines) {
    const { day } = local(line.reading.occurredAt, zone);
    const last = days.at(-1);
    if (last?.[0] === day) last[1].push(line);
    else days.push([day, [line]]);
  }
  return days;
}
