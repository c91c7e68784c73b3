/**
 * A round that was written on paper, typed in: the records that its boxes make (rule I-3).
 *
 * They happened when the sheet says and were done by who wrote there; the typist is their author.
 */
import type { Instant } from "./entry";
import { instantOf, msOf } from "./instant";
import type { Draft } from "./write";

export type Ticked = "nothing" | "found" | "not_looked";

/** One line of a sheet; `hold` where nobody knew what was seen. */
export interface TypedLine {
  readonly answer: Ticked | "";
  readonly dead: number;
  readonly hold: boolean;
  readonly why: string;
}

export interface TypedTrap {
  readonly said: "empty" | "caught" | "not_readable" | "";
  readonly catches: Readonly<Record<string, number>>;
  readonly why: string;
}

export const NO_LINE: TypedLine = { answer: "", dead: 0, hold: false, why: "" };
export const NO_TRAP: TypedTrap = { said: "", catches: {}, why: "" };

/** What the sheet is: who wrote it, from when until when, and its picture. */
export interface Paper {
  readonly by: string;
  readonly from: Instant;
  readonly until: Instant;
  readonly photo: string | null;
}

export interface LineAbout {
  readonly id: string;
  readonly alive: number | null;
  readonly check: string | null;
  /** Plants that were looked at, where the sheet says another figure than all. */
  readonly plants: number | null;
  /** Whether the conditions keep dead plants for the officer. */
  readonly keeps: boolean;
  readonly line: TypedLine;
}

export interface TrapAbout {
  readonly id: string;
  readonly check: string | null;
  readonly trap: TypedTrap;
}

/** Records of all lines that somebody ticked, in the order of the sheet. */
export function sheetDrafts(
  paper: Paper,
  lines: readonly LineAbout[],
  traps: readonly TrapAbout[],
): Draft[] {
  const ticked = lines.filter(({ line }) => line.answer !== "");
  const looked = ticked.filter(({ line }) => line.answer !== "not_looked").length;
  const span = Math.max(0, msOf(paper.until) - msOf(paper.from));
  const share = looked === 0 ? 0 : span / looked;
  let done = 0;
  const told = ticked.flatMap((about) => {
    if (about.line.answer !== "not_looked") done += 1;
    // The clock of a sheet says when it was begun and ended; what lies between goes evenly.
    const at = instantOf(msOf(paper.from) + Math.round(share * done)) as Instant;
    return lineDrafts(paper, about, at, minutesOf(share));
  });
  const read = traps.filter(({ trap }) => trap.said !== "");
  return [...told, ...read.map((about) => trapDraft(paper, about))];
}

function minutesOf(ms: number): number {
  return Math.round(ms / 6_000) / 10;
}

function sheetOf({ by, photo }: Paper): object {
  return { sheet: { by, ...(photo === null ? {} : { photo }) } };
}

function lineDrafts(paper: Paper, about: LineAbout, at: Instant, minutes: number): Draft[] {
  const { id, alive, check, keeps, line } = about;
  const sheet = sheetOf(paper);
  const named = check === null ? {} : { check };
  const draft = (kind: string, body: object): Draft => ({
    ...{ kind, about: [id], occurredAt: at, byHand: true },
    body: { ...body, ...sheet },
  });
  if (line.answer === "not_looked") {
    const why = line.why === "" ? {} : { why: line.why };
    return [draft("looked", { answer: "not_looked", ...why, ...named })];
  }
  const seen = about.plants ?? alive;
  const plants = seen === null ? {} : { plants: seen };
  const found = line.answer === "found";
  return [
    draft("looked", { answer: line.answer, ...plants, minutes, ...named }),
    ...(found && line.hold ? [draft("found", { suspicion: true })] : []),
    ...(found && line.dead > 0
      ? [draft("lost", { count: line.dead, fate: "died", kept: keeps, by_auditor: false })]
      : []),
  ];
}

function trapDraft(paper: Paper, { id, check, trap }: TrapAbout): Draft {
  const readable = trap.said !== "not_readable";
  const catches = Object.entries(trap.said === "caught" ? trap.catches : {})
    .filter(([, count]) => count > 0)
    .map(([pest, count]) => ({ pest, count }));
  return {
    ...{ kind: "trapped", about: [id], occurredAt: paper.until, byHand: true },
    body: {
      answer: readable ? "read" : "not_readable",
      catches,
      replaced: false,
      ...(readable || trap.why === "" ? {} : { why: trap.why }),
      ...(check === null ? {} : { check }),
      ...sheetOf(paper),
    },
  };
}
