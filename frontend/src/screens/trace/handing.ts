/** Handing plants over: how many, what the gate says, and what a file may be. */
import { readNumber } from "../../words/forms";

interface Part {
  readonly answer: string;
  readonly reason: string;
  readonly params: Readonly<Record<string, unknown>>;
}

export interface Gate {
  readonly parts: readonly Part[];
}

/** What speaks against it, each part by itself. */
export const against = ({ parts }: Gate): Part[] => parts.filter(({ answer }) => answer !== "yes");

/** A whole number of plants, or null where that is none. */
export function plantsOf(typed: string): number | null {
  const read = typed.trim() === "" ? null : readNumber(typed);
  return typeof read === "number" && Number.isInteger(read) && read > 0 ? read : null;
}

/** The file as an object, or null where it is no such thing. */
export function fileOf(text: string): Readonly<Record<string, unknown>> | null {
  try {
    const read: unknown = JSON.parse(text);
    return typeof read === "object" && read !== null && !Array.isArray(read)
      ? (read as Record<string, unknown>)
      : null;
  } catch {
    return null;
  }
}
