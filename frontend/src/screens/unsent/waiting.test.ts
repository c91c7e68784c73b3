import { expect, test } from "vitest";
import type { OutboxRow } from "../../shelf/row";
import { idOf } from "../../testing/entries";
import { aside, waiting } from "./waiting";

const row = (n: number, more: Partial<OutboxRow>): OutboxRow => ({
  id: idOf(n),
  n,
  text: JSON.stringify({
    id: idOf(n),
    v: 1,
    kind: "counted",
    about: ["b-1"],
    occurred_at: "2031-03-23T22:00:00.000Z",
    author: "p-1",
    device: "d-1",
    install: "i-1",
    n,
    body: { method: "full", alive: 53 },
  }),
  state: "queued",
  at: "2031-03-23T22:00:00.000Z",
  ...more,
});

test("what waits is what was not sent, and what cannot be", () => {
  const rows = [row(1, {}), row(2, { state: "acked" }), row(3, { state: "rescue" })];
  expect(waiting(rows).map(({ row: { n }, about }) => [n, about])).toEqual([
    [1, "b-1"],
    [3, "b-1"],
  ]);
  expect(waiting(rows)[0]?.line?.reading.kind).toBe("counted");
});

test("what the office put aside or could not read is told apart from what it took", () => {
  const outcome = (n: number, status: string): OutboxRow =>
    row(n, { state: "acked", outcome: { id: idOf(n), status } });
  const rows = [outcome(1, "stored"), outcome(2, "set_aside"), outcome(3, "kept_raw")];
  expect(aside(rows).map(({ row: { n } }) => n)).toEqual([2, 3]);
});

test("a record that this version cannot read is shown all the same", () => {
  expect(waiting([row(1, { text: "{}" })])).toMatchObject([{ about: "", line: null }]);
});
