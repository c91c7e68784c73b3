/**
 * Writing down what happened: from what a person did to the text that the book keeps for good.
 *
 * Nothing here asks for the time or for chance; both are given.
 */
import type { Instant } from "./entry";

/**
 * What a screen hands over. `occurredAt` stands only where a person typed when it was, or in a
 * correction: then `byHand` says whether a person had typed it.
 */
export interface Draft {
  readonly kind: string;
  readonly about: readonly string[];
  readonly body: Readonly<Record<string, unknown>>;
  readonly corrects?: string;
  readonly occurredAt?: Instant;
  readonly byHand?: boolean;
}

/** Who writes, on what, by which clock. `skewMs` is the phone's clock less the office's. */
export interface Pen {
  readonly author: string;
  /** False where the writer did not know the PIN: the grower confirms. */
  readonly confirmed: boolean;
  readonly device: string;
  readonly install: string;
  readonly now: Instant;
  readonly offsetMin: number;
  readonly skewMs: number | null;
  /** The last line of the feed that this phone had read. */
  readonly basedOn: number | null;
}

/** What makes one entry differ from all others of its install. */
export interface Stamp {
  readonly id: string;
  readonly n: number;
  readonly salt: string;
}

/** The text of an entry, exactly as it is kept, sent and hashed. */
export function written(draft: Draft, pen: Pen, stamp: Stamp): string {
  return JSON.stringify({
    id: stamp.id,
    v: 1,
    kind: draft.kind,
    about: draft.about,
    occurred_at: draft.occurredAt ?? pen.now,
    offset_min: pen.offsetMin,
    by_hand: draft.byHand ?? draft.occurredAt !== undefined,
    author: pen.author,
    confirmed: pen.confirmed,
    device: pen.device,
    install: pen.install,
    n: stamp.n,
    based_on: pen.basedOn,
    skew_ms: pen.skewMs,
    corrects: draft.corrects ?? null,
    salt: stamp.salt,
    body: draft.body,
  });
}

const LARGEST_MS = 2 ** 48 - 1;
const LARGEST_COUNT = 0xfff;

/**
 * A UUIDv7 (RFC 9562) above `last`, whatever the clock says: an install's ids never go back.
 *
 * `ms` is the clock, `random` eight bytes of chance. Within a millisecond the twelve bits after
 * the version count up, and run over into the next one.
 */
export function nextId(ms: number, last: string | null, random: Uint8Array): string {
  const [taken, count] = after(Math.min(Math.max(0, Math.floor(ms)), LARGEST_MS), last);
  const head = taken.toString(16).padStart(12, "0");
  const tail = [...random.slice(0, 8)].map((byte, i) => hex(i === 0 ? 0x80 | (byte & 0x3f) : byte));
  const parts = [
    head.slice(0, 8),
    head.slice(8),
    `7${count.toString(16).padStart(3, "0")}`,
    tail.slice(0, 2).join(""),
    tail.slice(2).join(""),
  ];
  return parts.join("-");
}

/** Millisecond and count of the next id. */
function after(ms: number, last: string | null): [ms: number, count: number] {
  if (last === null) return [ms, 0];
  const plain = last.replaceAll("-", "");
  const before = parseInt(plain.slice(0, 12), 16);
  const count = parseInt(plain.slice(13, 16), 16);
  if (ms > before) return [ms, 0];
  return count < LARGEST_COUNT ? [before, count + 1] : [before + 1, 0];
}

function hex(byte: number): string {
  return byte.toString(16).padStart(2, "0");
}
