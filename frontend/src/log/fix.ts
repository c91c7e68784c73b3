/**
 * Putting a record right: a correction replaces the whole of it, a withdrawal takes it back, and
 * what was first written stays to be read.
 */
import type { Instant } from "./entry";
import { history, type Line, type Reading } from "./history";
import type { Draft } from "./write";

/** Everybody puts right what they wrote themselves; the grower also what others did. */
export function mayFix({ by }: Pick<Line, "by">, person: string, role: string | null): boolean {
  return by === person || role === "grower";
}

/** The record with another body. `why` is the code of the reason. */
export function corrected(line: Line, body: Draft["body"], why: string | null): Draft {
  return anew(line, { ...line.reading, body }, why);
}

/** The record taken back. */
export function withdrawn(line: Line, why: string | null): Draft {
  return {
    kind: "withdrawn",
    about: line.about,
    body: { ...reason(why), saw: line.last },
    corrects: line.line,
  };
}

/**
 * What takes an entry back that was just written: of a correction, what it corrected stands again.
 *
 * @param raws every entry about one of its subjects.
 */
export function takenBack(id: string, raws: readonly unknown[]): Draft | null {
  const line = history(raws).find((one) => one.line === id || one.changes.some(isIt));
  if (!line) return null;
  function isIt(change: { readonly id: string }): boolean {
    return change.id === id;
  }
  const before = wasBefore(id, line, raws);
  return before ? anew(line, before, null) : withdrawn(line, null);
}

/** What the line said before that entry; null where it began with it, or had been taken back. */
function wasBefore(id: string, line: Line, raws: readonly unknown[]): Reading | null {
  if (line.line === id) return null;
  const earlier = history(raws.filter((raw) => (raw as { id?: string }).id !== id));
  const was = earlier.find((one) => one.line === line.line);
  return was && !was.withdrawn ? was.reading : null;
}

function anew(line: Line, { kind, body, occurredAt, byHand }: Reading, why: string | null): Draft {
  return {
    kind,
    about: line.about,
    body: { ...without(body), ...reason(why), saw: line.last },
    corrects: line.line,
    occurredAt: occurredAt as Instant,
    byHand,
  };
}

function without(body: Draft["body"]): Draft["body"] {
  return Object.fromEntries(Object.entries(body).filter(([name]) => name !== "fix"));
}

function reason(why: string | null): Draft["body"] {
  return why === null ? {} : { fix: why };
}
