import { expect, test } from "vitest";
import { idOf, raw, type Raw } from "../testing/entries";
import { history } from "./history";

const counted = (id: number, alive: number, more: Partial<Raw> = {}): Raw => ({
  id,
  kind: "counted",
  body: { method: "full", alive },
  ...more,
});
const withdrawn = (id: number, corrects: number): Raw => ({
  id,
  kind: "withdrawn",
  body: {},
  corrects,
});

function lines(...given: Raw[]) {
  return history(given.map(raw)).map(({ reading, older, withdrawn: gone }) => ({
    says: reading.body["alive"] ?? reading.kind,
    before: older.map(({ body }) => body["alive"]),
    ...(gone ? { gone } : {}),
  }));
}

test("the newest happening comes first", () => {
  expect(lines(counted(1, 54), counted(2, 53)).map(({ says }) => says)).toEqual([53, 54]);
});

test("a corrected record says what it said before, the newest first", () => {
  const list = [counted(1, 54), counted(2, 52, { corrects: 1 }), counted(3, 53, { corrects: 1 })];
  expect(lines(...list)).toEqual([{ says: 53, before: [52, 54] }]);
});

test("a withdrawn record stays to be read", () => {
  expect(lines(counted(1, 54), withdrawn(2, 1))).toEqual([{ says: 54, before: [], gone: true }]);
});

test("a withdrawal of something unknown is shown by itself", () => {
  expect(lines(withdrawn(2, 1))).toEqual([{ says: "withdrawn", before: [], gone: true }]);
});

test("a record of a newer version is shown under its own kind", () => {
  const [line] = history([raw({ kind: "unheard_of", body: { x: 1 } }), "no entry"]);
  expect(line?.reading).toMatchObject({
    id: idOf(1),
    kind: "unheard_of",
    unread: true,
    body: { x: 1 },
  });
});

test("a kind that no phone folds keeps its name", () => {
  const [line] = history([raw({ kind: "noted", body: { text: "wet" } })]);
  expect(line?.reading).toMatchObject({ kind: "noted", unread: false });
});

test("a line tells who changed it, in which order and why, and who wrote it first", () => {
  const [line] = history(
    [
      counted(1, 54, { author: "p-1" }),
      counted(2, 52, { corrects: 1, author: "p-2", body: { method: "full", alive: 52, fix: "x" } }),
      { ...withdrawn(3, 1), author: "p-3" },
    ].map(raw),
  );
  expect(line).toMatchObject({ line: idOf(1), last: idOf(3), by: "p-1", about: ["b-1"] });
  expect(line?.changes).toEqual([
    { id: idOf(3), author: "p-3", why: null, withdrawn: true },
    { id: idOf(2), author: "p-2", why: "x", withdrawn: false },
  ]);
});

test("a line whose original is not here is told by what stands of it", () => {
  const [line] = history([raw(counted(2, 52, { corrects: 1, author: "p-2" }))]);
  expect(line).toMatchObject({ line: idOf(1), last: idOf(2), by: "p-2" });
});
