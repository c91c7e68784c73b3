/** What is typed from a certificate, and the row that it makes. */
import { readNumber } from "../../words/forms";

export interface LineBody {
  readonly id: string;
  readonly crop: string;
  readonly cultivar?: string | null;
  readonly stated?: number | null;
}

/** The row of a consignment; fields that this form does not know stay as they are. */
export interface Certified {
  readonly name: string;
  readonly permit?: string | null;
  readonly without_conditions?: boolean;
  readonly certificate?: string | null;
  readonly supplier?: string | null;
  readonly origin?: string | null;
  readonly certificate_on?: string | null;
  readonly form?: string | null;
  readonly treatments?: readonly string[];
  readonly declaration?: string | null;
  readonly lines?: readonly LineBody[];
  readonly arrived_on?: string | null;
}

/** A line as it is typed. */
export interface LineTyped {
  readonly id: string;
  readonly crop: string;
  readonly cultivar: string;
  readonly stated: string;
}

export function typedLines(lines: readonly LineBody[]): LineTyped[] {
  return lines.map(({ id, crop, cultivar, stated }) => ({
    ...{ id, crop, cultivar: cultivar ?? "" },
    stated: stated === null || stated === undefined ? "" : String(stated),
  }));
}

/** Whether a figure was typed that nobody can read as a number of plants. */
export function isOdd({ stated }: LineTyped): boolean {
  if (stated.trim() === "") return false;
  const read = readNumber(stated);
  return typeof read !== "number" || !Number.isInteger(read);
}

export function linesOf(lines: readonly LineTyped[]): LineBody[] {
  return lines.map((line) => {
    const stated = readNumber(line.stated);
    return {
      ...{ id: line.id, crop: line.crop },
      ...(line.cultivar.trim() === "" ? {} : { cultivar: line.cultivar.trim() }),
      ...(typeof stated === "number" ? { stated } : {}),
    };
  });
}

/** One more line, of a crop, under an id that none of them has. */
export function andLine(lines: readonly LineTyped[], crop: string): LineTyped[] {
  const used = new Set(lines.map(({ id }) => id));
  let n = lines.length + 1;
  while (used.has(`line-${n}`)) n += 1;
  return [...lines, { id: `line-${n}`, crop, cultivar: "", stated: "" }];
}

/** The row without what is empty. */
export function rowOf(body: Certified): Certified {
  const kept = Object.entries(body as unknown as Record<string, unknown>).filter(
    ([, value]) => value !== null && value !== undefined && value !== "",
  );
  return Object.fromEntries(kept) as unknown as Certified;
}
