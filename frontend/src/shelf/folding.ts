/** From the lines of the copy to states: subjects whose lines changed are folded anew. */
import { batchJson, type BatchJson } from "../log/batch";
import { read, type Entry } from "../log/entry";
import { upTo } from "../log/elsewhere";
import { batch, place } from "../log/fold";
import { lately, type Lately } from "../log/lately";
import { placeJson, type PlaceJson } from "../log/place";
import type { Copy, CopyLine, Folded } from "./copy";
import type { Outbox } from "./outbox";

/** A batch as the phone keeps it: the fold's object, and what only its beginning tells. */
export interface KeptBatch extends BatchJson {
  readonly crop: string | null;
  readonly consignment: string | null;
  readonly container: string | null;
  readonly cells: number | null;
  /** A label was lost: nobody can say from which of its parents it came. */
  readonly one_of_parents: boolean;
  readonly began_at: string | null;
  readonly lately: Lately;
}

export interface KeptPlace extends PlaceJson {
  readonly lately: Lately;
}

/** So many subjects are folded in one transaction, and one is asked for while another goes on. */
const AT_ONCE = 10;
/** So many are told together: a screen that is drawn anew for each draws too often. */
const TOLD_AT_ONCE = 20;

/**
 * Fold these subjects, and all that are stale where none are named; say which they were, and of
 * each part as soon as it is folded.
 *
 * Some at a time: what a person saves meanwhile waits for two transactions, not for all.
 */
export async function refold(
  copy: Copy,
  subjects?: readonly string[],
  folded: (part: readonly string[]) => void = () => undefined,
): Promise<string[]> {
  const [growers, before, named] = await Promise.all([
    growersOf(copy),
    copy.told<readonly string[]>("growers"),
    subjects ?? copy.stale(),
  ]);
  const anew = await afterGrowers(copy, growers, before);
  const some = [...new Set([...named, ...anew])];
  await inParts(some, folded, (part) =>
    copy.fold(part, (id, lines) => foldedOf(id, lines, growers)),
  );
  if (anew.length > 0 || subjects === undefined) await copy.tell("growers", [...growers]);
  return some;
}

/** Do something for some at a time; the next is begun before the last is over. */
async function inParts(
  all: readonly string[],
  tell: (part: readonly string[]) => void,
  work: (part: readonly string[]) => Promise<unknown>,
): Promise<void> {
  let before: Promise<unknown> = Promise.resolve();
  let told = 0;
  for (let start = 0; start < all.length; start += AT_ONCE) {
    const now = work(all.slice(start, start + AT_ONCE));
    // Where the one before fails, that is thrown, whatever becomes of this.
    now.catch(() => undefined);
    await before;
    before = now;
    if (start - told < TOLD_AT_ONCE) continue;
    tell(all.slice(told, start));
    told = start;
  }
  await before;
  if (told < all.length) tell(all.slice(told));
}

/** Whose word lifts a mis-tap. */
async function growersOf(copy: Copy): Promise<ReadonlySet<string>> {
  const people = await copy.rowsOf("person");
  return new Set(people.filter(({ body }) => body["role"] === "grower").map(({ id }) => id));
}

/** Whoever became a grower, or is none any more: what rests on that is folded anew. */
async function afterGrowers(
  copy: Copy,
  growers: ReadonlySet<string>,
  before: readonly string[] | null,
): Promise<string[]> {
  if (before?.length === growers.size && before.every((id) => growers.has(id))) return [];
  const states = await copy.states();
  return states
    .filter(({ state }) => (state as { lately?: Lately }).lately?.suspicions.length !== 0)
    .map(({ id }) => id);
}

/**
 * Bring into the copy what this phone wrote and the copy lacks: just saved, saved right before the
 * page was killed, or before the copy was made anew. Says which subjects were folded; those named
 * in `later` stay stale until somebody folds all that is.
 */
export async function takeInOwn(
  copy: Copy,
  outbox: Outbox,
  later: readonly string[] = [],
): Promise<string[]> {
  const rows = await outbox.rows(await copy.ownUpTo());
  const subjects = await copy.takeIn(rows.filter(({ trouble }) => trouble !== "elsewhere"));
  return refold(
    copy,
    subjects.filter((subject) => !later.includes(subject)),
  );
}

/** What the lines make of a subject: a batch where one began, else a place; null of no lines. */
export function foldedOf(
  id: string,
  lines: readonly CopyLine[],
  growers?: ReadonlySet<string>,
): Folded | null {
  if (lines.length === 0) return null;
  const entries = entriesOf(lines);
  const told = { lately: lately(entries) };
  const state = batch(id, entries, growers);
  if (state.began) {
    const kept = { ...batchJson(state), ...begunAs(id, entries), ...told };
    return { id, what: "batch", state: kept, upTo: upTo(lines) };
  }
  return { id, what: "place", state: { ...placeJson(place(id, entries)), ...told } };
}

/** The entries that count: what is set aside waits until the office releases it. */
export function entriesOf(lines: readonly CopyLine[]): Entry[] {
  return lines
    .filter(({ setAside }) => !setAside)
    .map(({ text }) => read(JSON.parse(text)))
    .filter((entry) => entry !== null);
}

interface Begun {
  crop?: string | null;
  container?: string | null;
  cells?: number | null;
}

function begunAs(
  id: string,
  entries: readonly Entry[],
): Omit<KeptBatch, keyof BatchJson | "lately"> {
  let begun: Begun = {};
  let mixed = false;
  let consignment: string | null = null;
  let first: string | null = null as string | null;
  for (const entry of entries) {
    const body = entry.body as Record<string, unknown>;
    if (entry.kind === "potted" && typeof body["container"] === "string") {
      begun = { ...begun, container: body["container"], cells: null };
    }
    for (const one of [body["batch"], ...list(body["batches"]), ...list(body["children"])]) {
      if ((one as { id?: string } | undefined)?.id !== id) continue;
      begun = one as Begun;
      mixed ||= entry.kind === "mixed";
      first = first === null || entry.occurredAt < first ? entry.occurredAt : first;
      consignment = (body["consignment"] as string | undefined) ?? consignment;
    }
  }
  const { crop = null, container = null, cells = null } = begun;
  return { crop, container, cells, consignment, one_of_parents: mixed, began_at: first };
}

function list(value: unknown): unknown[] {
  return Array.isArray(value) ? (value as unknown[]) : [];
}
