import { expect, test } from "vitest";
import { opened, tally } from "./rescue";

const ENTRY = JSON.stringify({ id: "e-1", occurred_at: "2031-03-24T08:00:00.000Z" });
const LATER = JSON.stringify({ id: "e-2", occurred_at: "2031-03-25T08:00:00.000Z" });

test("a phone's file is opened with its figures, each text byte for byte", () => {
  const odd = '{"id":"e-3",  "occurred_at":7}';
  const entries = [LATER, ENTRY, odd, "{"];
  const file = JSON.stringify({ epoch: "e", install: "i-1", app: "1", persisted: true, entries });
  expect(opened(file)).toEqual({
    parcel: { epoch: "e", install: "i-1", app: "1", persisted: true, entries },
    count: 4,
    first: "2031-03-24T08:00:00.000Z",
    last: "2031-03-25T08:00:00.000Z",
  });
});

test("rows of an outbox are taken by their text", () => {
  const file = JSON.stringify({ install: "i-1", entries: [{ n: 1, text: ENTRY }] });
  expect(opened(file)?.parcel).toEqual({
    ...{ epoch: "", install: "i-1", app: "", persisted: null },
    entries: [ENTRY],
  });
});

test.each([
  ["no JSON", "hello"],
  ["nothing", ""],
  ["null", "null"],
  ["a list", "[]"],
  ["no install", '{"entries":[]}'],
  ["an install with a blank", '{"install":"i 1","entries":[]}'],
  ["no entries", '{"install":"i-1"}'],
  ["entries that are no texts", '{"install":"i-1","entries":[7]}'],
  ["an entry that is nothing", '{"install":"i-1","entries":[null]}'],
])("%s is no parcel", (_, text) => {
  expect(opened(text)).toBeNull();
});

test("outcomes are counted by their kind", () => {
  const results = ["stored", "known", "stored"].map((status) => ({ status }));
  expect([...tally(results)]).toEqual([
    ["stored", 2],
    ["known", 1],
  ]);
});
