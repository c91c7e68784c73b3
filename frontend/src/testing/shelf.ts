/** A phone's databases for tests: what it wrote, and its copy of the book. */
import "fake-indexeddb/auto";
import { nextId, written, type Draft, type Pen } from "../log/write";
import type { Instant } from "../log/entry";
import type { Compose, Outbox } from "../shelf/outbox";

let names = 0;

/** A name that no other test gave to a database. */
export function fresh(name: string): string {
  names += 1;
  return `${name}-${names}`;
}

export const NURSERY = { id: "veshmere", name: "Veshmere Terraces", zone: "Etc/GMT-10" };
export const NOON = "2031-03-03T02:00:00.000Z" as Instant;

export function pen(more: Partial<Pen> = {}): Pen {
  return {
    author: "p-1",
    confirmed: true,
    device: "d-1",
    install: "i-1",
    now: NOON,
    offsetMin: 600,
    skewMs: 0,
    basedOn: null,
    ...more,
  };
}

export const LOSS: Draft = { kind: "lost", about: ["b-1"], body: { count: 1, fate: "died" } };

export function composed(draft: Draft = LOSS, by: Pen = pen()): Compose {
  return (n, last) => {
    const id = nextId(Date.parse(by.now), last, new Uint8Array(8));
    return { id, text: written(draft, by, { id, n, salt: "6f0c" }) };
  };
}

/** Save some losses, all at once, and say what was saved. */
export async function lose(outbox: Outbox, count: number, by: Pen = pen()) {
  return outbox.save(
    by.now,
    Array.from({ length: count }, () => composed(LOSS, by)),
  );
}
