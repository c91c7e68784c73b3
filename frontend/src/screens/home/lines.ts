/** What a worker can do from the first sheet, in the order in which a day brings it. */
import type { Key } from "../../words/catalogue";
import { insideNow, someForgotten } from "../access/still";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";

interface Line {
  readonly sheet: string;
  readonly sign: string;
  readonly says: Key;
  /** A figure at the edge; nothing where there is nothing to tell. */
  readonly figure?: () => number | null;
  readonly shown?: () => boolean;
}

const LINES: readonly Line[] = [
  {
    sheet: "inside",
    sign: "wait",
    says: "access.evening",
    figure: insideNow,
    shown: someForgotten,
  },
  { sheet: "access", sign: "door", says: "access.line", figure: () => insideNow() || null },
  {
    ...{ sheet: "traps", sign: "trap", says: "traps.title" },
    shown: () => phone.rowsOf("place").some(({ body }) => body["kind"] === "trap"),
  },
  { sheet: "scan", sign: "scan", says: "scan.title" },
  { sheet: "room", sign: "measure", says: "room.line" },
  {
    ...{ sheet: "papers", sign: "paper", says: "papers.title" },
    shown: () => phone.role === "grower" && holdsUnderConditions(),
  },
  {
    ...{ sheet: "planting", sign: "plant", says: "planting.title" },
    shown: () => phone.role === "grower" && (phone.outlook?.planting ?? []).length > 0,
  },
  {
    ...{ sheet: "survey", sign: "survey", says: "survey.title", figure: countsDue },
    shown: () => phone.rowsOf("layout").length > 0,
  },
  {
    ...{ sheet: "scout", sign: "lens", says: "scouting.title" },
    shown: () => phone.rowsOf("layout").length > 0,
  },
  {
    ...{ sheet: "block", sign: "plant", says: "block.all" },
    shown: () => phone.rowsOf("layout").length > 0,
  },
  { sheet: "arrive", sign: "trays", says: "arrive.line" },
  { sheet: "take-on", sign: "tray", says: "takeon.line" },
  { sheet: "sow", sign: "plant", says: "raise.sow" },
  { sheet: "reminders", sign: "tell", says: "nav.reminders" },
  { sheet: "mine", sign: "wrong-fix", says: "mine.title" },
  { sheet: "stock", sign: "bench", says: "nav.stock", figure: () => phone.batches.size || null },
];

export interface ShownLine extends Pick<Line, "sheet" | "sign" | "says"> {
  readonly figure: number | null;
}

/** The lines that whoever writes has here now. */
export function shownLines(): ShownLine[] {
  return LINES.filter(({ shown }) => shown?.() ?? true).map(({ sheet, sign, says, figure }) => ({
    ...{ sheet, sign, says },
    figure: figure?.() ?? null,
  }));
}

/** Lines as they were kept, in the words of now. */
export function keptLines(kept: readonly Pick<ShownLine, "sheet" | "figure">[]): ShownLine[] {
  return kept.flatMap(({ sheet, figure }) =>
    LINES.filter((line) => line.sheet === sheet).map((line) => ({ ...line, figure })),
  );
}

/** Asked here without the tree of places, which the first sheet does not need. */
function holdsUnderConditions(): boolean {
  const own = phone.own?.nursery.id;
  return own !== undefined && phone.row("nursery", own)?.body["conditions"] !== false;
}

/** Survival counts that are due, as the office said, and nobody skipped here; null where there is none. */
function countsDue(): number | null {
  const now = book.now();
  const due = phone.checks.filter(
    ({ id, subject, kind, opens_at, answered_by, skipped_by }) =>
      kind === "survival" &&
      opens_at <= now &&
      answered_by === null &&
      skipped_by === null &&
      !skippedHere(subject, id),
  );
  return new Set(due.map(({ subject }) => subject)).size || null;
}

function skippedHere(block: string, check: string): boolean {
  return phone.places.get(block)?.lately.skipped.includes(check) ?? false;
}
