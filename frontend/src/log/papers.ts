/**
 * Acts of the authority that somebody typed from its paper, and whose picture is not there yet: what
 * rests on them waits (rules H-5, G-8).
 */
import type { Line } from "./history";
import type { Draft } from "./write";

const KINDS: ReadonlySet<string> = new Set(["ordered", "accepted", "opened", "released"]);

/** Everything that one paper says, as it was written. */
export interface Paper {
  readonly reference: string;
  /** When the last of it was. */
  readonly at: string;
  readonly lines: readonly Line[];
}

/** Papers without a picture, the latest first. */
export function unpictured(lines: readonly Line[]): Paper[] {
  const found = new Map<string, Line[]>();
  for (const line of lines) {
    const { kind, unread, body } = line.reading;
    if (!KINDS.has(kind) || unread || line.withdrawn || typeof body["photo"] === "string") continue;
    const reference = referenceOf(line);
    found.set(reference, [...(found.get(reference) ?? []), line]);
  }
  return [...found].map(([reference, told]) => ({
    reference,
    at: told.reduce((last, { reading }) => later(last, reading.occurredAt), ""),
    lines: told,
  }));
}

/** What the paper calls itself. */
function referenceOf({ reading: { body } }: Line): string {
  const said = body["reference"] ?? body["notice"] ?? body["paper"] ?? body["permit"];
  return String(said);
}

/** The same acts with their picture: corrections that change nothing else. */
export function pictured({ lines }: Paper, photo: string): Draft[] {
  return lines.map(({ line, last, about, reading }) => ({
    kind: reading.kind,
    about,
    body: { ...reading.body, photo, saw: last },
    corrects: line,
    occurredAt: reading.occurredAt as NonNullable<Draft["occurredAt"]>,
    byHand: reading.byHand,
  }));
}

/** Every batch or place that one of the acts is about. */
export function aboutOf({ lines }: Paper): string[] {
  return [...new Set(lines.flatMap(({ about }) => about))];
}

function later(one: string, other: string): string {
  return other > one ? other : one;
}
