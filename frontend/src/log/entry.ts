/**
 * What a person wrote: one immutable fact about one or more subjects.
 *
 * Twin of `nursery/domain/entry.py`; `tests/vectors/` keeps the two alike.
 */
import type { Bodies, Kind } from "./bodies";
import { isInstant, isMap, readable, whole } from "./shape";

export type EntryId = string & { readonly brand: "entry" };
/** UTC with exactly milliseconds, `2031-03-23T22:00:00.000Z`: text order is time order. */
export type Instant = string & { readonly brand: "instant" };

interface Envelope {
  readonly id: EntryId;
  readonly v: number;
  readonly about: readonly string[];
  readonly occurredAt: Instant;
  readonly author: string;
  readonly confirmed: boolean;
  readonly device: string;
  readonly install: string;
  readonly n: number;
  readonly corrects: EntryId | null;
}

/** `body` has the shape of its kind, or `unread` is true and nobody may rest on it. */
export type Entry =
  | { [K in Kind]: Envelope & { readonly kind: K; readonly body: Bodies[K] } }[Kind]
  | (Envelope & {
      readonly kind: "other";
      readonly named: string;
      readonly unread: boolean;
      readonly body: Readonly<Record<string, unknown>>;
    });

const ID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
// What Python calls white space, which is not quite what a browser does.
const NAME =
  /^[^\u0000-\u0020\u007f\u0085\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]{1,64}$/u;
const KIND = /^[a-z][a-z_]{0,39}$/;
const LARGEST_NUMBER = Number.MAX_SAFE_INTEGER;
const MOST_SUBJECTS = 500;
const MOST_MINUTES = 1440;

const FOLDED: ReadonlySet<string> = new Set<Kind>([
  ...(["received", "taken_on", "sown", "emerged", "stuck", "worked", "split", "pricked"] as const),
  ...(["mixed", "joined", "moved", "potted", "relabelled", "stepped", "counted", "lost"] as const),
  ...(["settled", "sent", "returned", "disposed", "planted", "refilled", "found"] as const),
  ...(["carried", "left_empty", "surveyed"] as const),
  ...(["sampled", "resulted", "looked", "trapped", "skipped", "ordered", "treated"] as const),
  ...(["entered", "left", "withdrawn"] as const),
]);

/** The entry that decoded JSON holds, or null where the envelope is not sound. Never throws. */
export function read(raw: unknown): Entry | null {
  if (!isMap(raw) || !sound(raw)) return null;
  const kind = raw["kind"] as string;
  const body = raw["body"];
  const envelope: Envelope = {
    id: raw["id"] as EntryId,
    v: raw["v"] as number,
    about: raw["about"] as string[],
    occurredAt: raw["occurred_at"] as Instant,
    author: raw["author"] as string,
    confirmed: raw["confirmed"] !== false,
    device: raw["device"] as string,
    install: raw["install"] as string,
    n: raw["n"] as number,
    corrects: (raw["corrects"] ?? null) as EntryId | null,
  };
  const unread = !readable(kind, envelope.v, body);
  if (unread || !FOLDED.has(kind)) {
    return { ...envelope, kind: "other", named: kind, unread, body: body as object as Raw };
  }
  return { ...envelope, kind, body } as Entry;
}

/** The id by which the book knows this fact, however often it was corrected. */
export function lineOf(entry: Entry): EntryId {
  return entry.corrects ?? entry.id;
}

export function compare(a: Entry, b: Entry): number {
  return byText(a.occurredAt, b.occurredAt) || byText(a.id, b.id);
}

/** Order by code unit. The order of a locale differs from phone to phone. */
export function byText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

type Raw = Readonly<Record<string, unknown>>;

function sound(raw: Raw): boolean {
  return (
    matches(raw["id"], ID) &&
    matches(raw["kind"], KIND) &&
    whole(raw["v"], 1, LARGEST_NUMBER) &&
    isMap(raw["body"]) &&
    isInstant(raw["occurred_at"]) &&
    subjects(raw["about"]) &&
    made(raw) &&
    (absent(raw["corrects"]) || matches(raw["corrects"], ID))
  );
}

function made(raw: Raw): boolean {
  const offset = raw["offset_min"];
  return (
    (offset === undefined || whole(offset, -MOST_MINUTES, LARGEST_NUMBER)) &&
    matches(raw["author"], NAME) &&
    matches(raw["device"], NAME) &&
    matches(raw["install"], NAME) &&
    whole(raw["n"], 1, LARGEST_NUMBER) &&
    perhapsWhole(raw["based_on"]) &&
    perhapsWhole(raw["skew_ms"])
  );
}

function absent(value: unknown): boolean {
  return value === undefined || value === null;
}

function perhapsWhole(value: unknown): boolean {
  return absent(value) || whole(value, -LARGEST_NUMBER, LARGEST_NUMBER);
}

function matches(value: unknown, form: RegExp): boolean {
  return typeof value === "string" && form.test(value);
}

function subjects(value: unknown): boolean {
  return (
    Array.isArray(value) &&
    value.length >= 1 &&
    value.length <= MOST_SUBJECTS &&
    value.every((name) => matches(name, NAME))
  );
}
