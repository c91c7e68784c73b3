/** From what a screen hands over to what the outbox keeps: who, when, and what makes it unique. */
import type { Instant } from "../log/entry";
import { nextId, written, type Draft, type Pen } from "../log/write";
import type { Compose, Own } from "../shelf/outbox";
import type { Clock } from "./clock";

/** Who writes now. `confirmed` is false where the PIN was forgotten. */
export interface Hand {
  readonly person: string;
  readonly confirmed: boolean;
}

export function penOf(own: Own, hand: Hand, clock: Clock, basedOn: number | null): Pen {
  return {
    author: hand.person,
    confirmed: hand.confirmed,
    device: own.device,
    install: own.install,
    now: clock.now(),
    offsetMin: -new Date(clock.ms()).getTimezoneOffset(),
    skewMs: clock.skewMs,
    basedOn,
  };
}

export type Chance = (bytes: number) => Uint8Array;

const real: Chance = (bytes) => crypto.getRandomValues(new Uint8Array(bytes));

/** How each of these becomes a record, once it has its number. */
export function composed(drafts: readonly Draft[], pen: Pen, chance: Chance = real): Compose[] {
  const at = Date.parse(pen.now satisfies Instant);
  return drafts.map((draft) => (n, last) => {
    const id = nextId(at, last, chance(8));
    return { id, text: written(draft, pen, { id, n, salt: hex(chance(8)) }) };
  });
}

function hex(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
