import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { entry, idOf, type Raw } from "../testing/entries";
import { COUNTED, counted, lost, RECEIVED } from "../testing/batches";
import { against, disagreements, lastCount } from "./counts";
import { read, type Instant } from "./entry";

interface Vector {
  name: string;
  entries: unknown[];
  open: string[];
}

const CASES = JSON.parse(readFileSync("../tests/vectors/apart.json", "utf8")) as Vector[];

test.each(CASES.map(({ name, ...vector }) => [name, vector] as const))(
  "counts disagree as the vector has it: %s",
  (_, { entries, open }) => {
    const facts = entries.map(read).filter((one) => one !== null);
    expect(
      disagreements("t5", facts)
        .map(({ id }) => id)
        .sort(),
    ).toEqual(open);
  },
);

const by = (author: string, raw: Raw, saw: number | null = null): Raw => ({
  ...raw,
  author,
  body: { ...raw.body, saw: saw === null ? null : idOf(saw) },
});
const MIDNIGHT = "2031-03-03T00:00:00.000Z" as Instant;
const NOON = "2031-03-03T12:00:00.000Z" as Instant;

describe("the count of somebody else that a count does not agree with", () => {
  const mine = by("p-2", counted(9, 53));
  const own = by("p-2", counted(8, 53));
  const theirs = by("p-1", counted(8, 52));
  test.each<[string, Raw[], Instant, number | null]>([
    ["is the one before it", [theirs, mine], MIDNIGHT, 8],
    ["is the one before it, though its maker saw it", [theirs, by("p-2", mine, 8)], MIDNIGHT, 8],
    ["is the one after it", [own, by("p-1", counted(12, 52)), mine], MIDNIGHT, 12],
    ["is none where they agree", [by("p-1", counted(8, 53)), mine], MIDNIGHT, null],
    [
      "is none where the one after it agrees",
      [own, by("p-1", counted(12, 53)), mine],
      MIDNIGHT,
      null,
    ],
    ["is none of another day", [theirs, mine], NOON, null],
    ["is none of the same person", [by("p-2", counted(8, 52)), mine], MIDNIGHT, null],
    ["is none where what left between explains it", [lost(3, 1), mine], MIDNIGHT, null],
  ])("%s", (_, others, since, expected) => {
    const facts = [RECEIVED, by("p-1", COUNTED), ...others].map(entry);
    const found = against("b-1", facts, idOf(9), since);
    expect(found?.id ?? null).toBe(expected === null ? null : idOf(expected));
  });

  test("is none of a count that is not in the book", () => {
    expect(against("b-1", [RECEIVED, COUNTED].map(entry), idOf(9), MIDNIGHT)).toBeNull();
  });
});

test("the last count is what a person is shown, and no estimate is one", () => {
  const estimate: Raw = { id: 5, kind: "counted", body: { method: "estimate", alive: 40 } };
  const facts = [RECEIVED, COUNTED, estimate].map(entry);
  expect(lastCount("b-1", facts)?.id).toBe(idOf(2));
  expect(lastCount("b-2", facts)).toBeNull();
});

test("of counts that correct each other in a ring one stands, and saw what it says itself", () => {
  const ring: Raw[] = [
    { ...by("p-1", counted(5, 52), 2), corrects: 6 },
    { ...by("p-1", counted(6, 53), 2), corrects: 5 },
  ];
  const facts = [RECEIVED, COUNTED, ...ring].map(entry);
  expect(lastCount("b-1", facts)?.id).toBe(idOf(6));
  expect(disagreements("b-1", facts)).toEqual([]);
});
