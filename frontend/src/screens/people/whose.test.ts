import { expect, test } from "vitest";
import { piles, settlement, type Unconfirmed } from "./whose";

function record(id: string, author: string, occurred_at: string): Unconfirmed {
  const subjects = [
    { id: "b-1", label: "T1" },
    { id: "r-1", label: null },
  ];
  return {
    doubt: `unconfirmed:${id}`,
    subjects,
    entry: { id, kind: "looked", author, occurred_at },
  };
}

// In Caldesh, ten hours ahead, the second of these is on the 25th.
const LIST = [
  record("e-1", "p-w1", "2031-03-24T01:00:00.000Z"),
  record("e-2", "p-w1", "2031-03-24T15:00:00.000Z"),
  record("e-3", "p-w2", "2031-03-24T01:30:00.000Z"),
  record("e-4", "p-w1", "2031-03-24T02:00:00.000Z"),
];

test("records without a PIN lie together by tile and local day", () => {
  const found = piles(LIST, "Etc/GMT-10").map(({ author, day, records }) => [
    author,
    day,
    records.map(({ entry }) => entry.id),
  ]);
  expect(found).toEqual([
    ["p-w1", "2031-03-24", ["e-1", "e-4"]],
    ["p-w1", "2031-03-25", ["e-2"]],
    ["p-w2", "2031-03-24", ["e-3"]],
  ]);
});

test("who was it is said about all that the record is about, and by name only where it was another", () => {
  const one = record("e-1", "p-w1", "2031-03-24T01:00:00.000Z");
  const body = { doubt: "unconfirmed:e-1", reason: "asked" };
  expect(settlement(one, "p-w1", "asked")).toEqual({
    kind: "settled",
    about: ["b-1", "r-1"],
    body,
  });
  expect(settlement(one, "p-w2", "asked").body).toEqual({ ...body, by: "p-w2" });
});
