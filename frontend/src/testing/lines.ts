/** Records as a sheet shows them, for tests of what is said about them. */
import type { Line, Reading } from "../log/history";

export function reading(kind: string, body: object = {}, more: Partial<Reading> = {}): Reading {
  return {
    id: "x",
    kind,
    occurredAt: "2031-05-04T08:00:00.000Z",
    author: "p-1",
    confirmed: true,
    unread: false,
    byHand: false,
    body: { ...body },
    ...more,
  };
}

export function line(read: Reading, more: Partial<Line> = {}): Line {
  return {
    line: read.id,
    last: read.id,
    about: ["b-1"],
    by: read.author,
    reading: read,
    older: [],
    changes: [],
    withdrawn: false,
    ...more,
  };
}
