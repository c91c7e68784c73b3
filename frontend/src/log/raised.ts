/**
 * How seed came up and how grafts took, from the records of a batch.
 *
 * Twin of `nursery/domain/propagation.py` (rules K-1 to K-3); `tests/vectors/propagation.json`
 * keeps the two alike.
 */
import { apart } from "./days";
import { byText, type Entry, type EntryId } from "./entry";
import { standing } from "./timeline";

/** Classes of a rootstock's diameter, from the thickest on. (From memory.) */
const CLASSES = [
  { low: 8, name: "8-" },
  { low: 6, name: "6-8" },
  { low: 4, name: "4-6" },
] as const;
const THINNEST = "0-4";
/** The two-sided 95 % of the normal distribution. */
const Z = 1.959963984540054;

type Raw = Readonly<Record<string, unknown>>;
interface Told {
  readonly entry: string;
  readonly at: string;
  readonly kind: string;
  readonly body: Raw;
}

function lineOf(id: string, entries: Iterable<Entry>) {
  const { entries: stand, lines } = standing(
    [...entries].filter((entry) => entry.about.includes(id)),
  );
  const told: Told[] = stand.map((one) => ({
    ...{ entry: one.id, at: one.occurredAt, body: one.body as object as Raw },
    kind: one.kind === "other" ? (one.unread ? "" : one.named) : one.kind,
  }));
  return { told, lines };
}

const toldOf = (id: string, entries: Iterable<Entry>): Told[] => lineOf(id, entries).told;

const number = (value: unknown): number | null => (typeof value === "number" ? value : null);
const text = (value: unknown): string | null => (typeof value === "string" ? value : null);
// What a body must have, it has: an entry without it was not read.
const whole = (value: unknown): number => value as number;

export interface Came {
  readonly sown: number;
  readonly abnormal: number | null;
  readonly curve: readonly { readonly day: number; readonly total: number }[];
  readonly percent: number | null;
  readonly firstDay: number | null;
  readonly lastDay: number | null;
  readonly halfDay: number | null;
}

/**
 * How the seed came up; null of what was not sown, or not looked at yet. Days are those of the
 * nursery's calendar, and that of sowing is 0.
 */
export function cameUp(
  id: string,
  entries: Iterable<Entry>,
  dayOf: (instant: string) => string,
): Came | null {
  const told = toldOf(id, entries);
  const began = told.find(({ kind }) => kind === "sown");
  const counts = told.filter(({ kind }) => kind === "emerged");
  if (!began || counts.length === 0) return null;
  const sown = whole(began.body["seeds"]);
  const totals = new Map<number, number>();
  let most = 0;
  for (const { at, body } of counts) {
    most = Math.min(sown, Math.max(most, whole(body["total"])));
    totals.set(Math.max(0, apart(dayOf(began.at), dayOf(at))), most);
  }
  const curve = [...totals].map(([day, total]) => ({ day, total })).sort((a, b) => a.day - b.day);
  const abnormal = counts.flatMap(({ body }) => number(body["abnormal"]) ?? []).at(-1) ?? null;
  const rises = curve.filter(({ total }, i) => total > (curve[i - 1]?.total ?? 0));
  return {
    ...{ sown, abnormal, curve },
    percent: sown === 0 ? null : tenth((100 * most) / sown),
    firstDay: rises[0]?.day ?? null,
    lastDay: rises.at(-1)?.day ?? null,
    halfDay: halfOf(curve, most),
  };
}

/** The day on which half had come up, on a straight line between counts. */
function halfOf(curve: Came["curve"], most: number): number | null {
  const half = most / 2;
  const at = curve.findIndex(({ total }) => total >= half);
  const [later, before] = [curve[at], curve[at - 1]];
  if (most === 0 || !later) return null;
  if (later.total === half) return later.day;
  if (!before) return null;
  const into = (half - before.total) / (later.total - before.total);
  return tenth(before.day + into * (later.day - before.day));
}

/** The highest running total so far of one kind of count; null where nobody counted. */
export function totalOf(id: string, kind: string, entries: Iterable<Entry>): number | null {
  const counts = toldOf(id, entries).filter((one) => one.kind === kind);
  if (counts.length === 0) return null;
  return Math.max(...counts.map(({ body }) => whole(body["total"])));
}

/** Seed that was sown in this batch. */
export function seedsIn(id: string, entries: Iterable<Entry>): number {
  return toldOf(id, entries)
    .filter(({ kind }) => kind === "sown")
    .reduce((sum, { body }) => sum + whole(body["seeds"]), 0);
}

/** Cuttings that were set in this batch. */
export function cuttingsOf(id: string, entries: Iterable<Entry>): number {
  return toldOf(id, entries)
    .filter(({ kind, body }) => kind === "stuck" && (body["batch"] as Raw)["id"] === id)
    .reduce((sum, { body }) => sum + whole(body["cuttings"]), 0);
}

export interface Graft {
  readonly entry: string;
  readonly at: string;
  readonly plants: number;
  readonly operator: string | null;
  readonly rootstockMm: number | null;
  /** Null until somebody counted them. */
  readonly took: number | null;
  readonly failed: number | null;
}

/** The graftings of a batch, each with its last count of what took. */
export function graftsOf(id: string, entries: Iterable<Entry>): Graft[] {
  const counted = new Map<string, Raw>();
  const found: Told[] = [];
  const { told, lines } = lineOf(id, entries);
  const fact = (name: string): string => lines.get(name as EntryId) ?? name;
  for (const one of told) {
    if (one.kind === "worked" && one.body["scion"] !== id) found.push(one);
    const name = text(one.body["graft"]) ?? found.at(-1)?.entry;
    if (one.kind === "took" && name !== undefined) counted.set(fact(name), one.body);
  }
  return found.map((one) => graft(one, counted.get(fact(one.entry))));
}

function graft({ entry, at, body }: Told, counted: Raw | undefined): Graft {
  const [plants, inline] = [whole(body["plants"]), number(body["took"])];
  return {
    ...{ entry, at, plants },
    operator: text(body["operator"]),
    rootstockMm: number(body["rootstock_mm"]),
    took: counted ? whole(counted["took"]) : inline,
    failed: counted
      ? whole(counted["failed"])
      : inline === null
        ? null
        : Math.max(0, plants - inline),
  };
}

/** The class of a diameter: from so many millimetres up to the next; null where nobody measured. */
export function classOf(millimetres: number | null): string | null {
  if (millimetres === null) return null;
  return CLASSES.find(({ low }) => millimetres >= low)?.name ?? THINNEST;
}

export interface Share {
  readonly took: number;
  readonly of: number;
  readonly percent: number;
  readonly low: number;
  readonly high: number;
}

/** The share that took with Wilson's interval; null where nothing was counted. */
export function taken(grafts: readonly Graft[]): Share | null {
  const counted = grafts.flatMap(({ took, failed }) =>
    failed === null ? [] : { took: whole(took), failed },
  );
  const took = counted.reduce((sum, one) => sum + one.took, 0);
  const of = counted.reduce((sum, one) => sum + one.failed, took);
  if (of === 0) return null;
  const share = took / of;
  const spread = Z * Math.sqrt((share * (1 - share)) / of + Z ** 2 / (4 * of ** 2));
  const [middle, total] = [share + Z ** 2 / (2 * of), 1 + Z ** 2 / of];
  const percent = (part: number): number => tenth(100 * Math.min(1, Math.max(0, part)));
  return {
    ...{ took, of, percent: percent(share) },
    low: percent((middle - spread) / total),
    high: percent((middle + spread) / total),
  };
}

/** Shares by a name of each grafting, in the order of the names: nobody is ranked. */
export function takenBy(
  grafts: readonly Graft[],
  nameOf: (graft: Graft) => string | null,
): (Share & { readonly name: string })[] {
  const names = [...new Set(grafts.map((one) => nameOf(one) ?? ""))].sort(byText);
  return names.flatMap((name) => {
    const share = taken(grafts.filter((one) => (nameOf(one) ?? "") === name));
    return share ? [{ name, ...share }] : [];
  });
}

function tenth(figure: number): number {
  return Math.round(figure * 10) / 10;
}
