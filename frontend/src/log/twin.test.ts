import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { histories, idOf, raw } from "../testing/entries";
import { batchJson } from "./batch";
import { read, type Entry } from "./entry";
import * as fold from "./fold";
import { placeJson } from "./place";

const VECTORS = "../tests/vectors";

interface Vector {
  name: string;
  /** Whose word lifts a mis-tap. */
  growers?: string[];
  entries: unknown[];
  batches?: Record<string, object>;
  places?: Record<string, object>;
}

function held(vector: Vector): void {
  const entries = vector.entries
    .map(decoded)
    .map(read)
    .filter((one) => one !== null);
  const growers = new Set(vector.growers);
  for (const [id, expected] of Object.entries(vector.batches ?? {})) {
    test(`${vector.name}: batch ${id}`, () => {
      expect(batchJson(fold.batch(id, entries, growers))).toEqual(expected);
    });
  }
  for (const [id, expected] of Object.entries(vector.places ?? {})) {
    test(`${vector.name}: place ${id}`, () => {
      expect(placeJson(fold.place(id, entries))).toEqual(expected);
    });
  }
}

describe("the vectors that Python reads too", () => {
  for (const file of files("folds")) {
    for (const vector of load(`folds/${file}`) as Vector[]) held(vector);
  }
  test.each(files("entries"))("the stored example %s is still read", (file) => {
    const found = read(decoded(load(`entries/${file}`)));
    expect(found).not.toBeNull();
    expect(found).not.toMatchObject({ unread: true });
  });
});

describe("laws of the fold", () => {
  const subjects = ["b-1", "b-2", "b-3"];
  const state = (entries: Entry[]) => [
    ...subjects.map((id) => batchJson(fold.batch(id, entries, new Set(["p-1"])))),
    placeJson(fold.place("r-1", entries)),
  ];
  const readAll = (list: unknown[]): Entry[] => list.map(read).filter((one) => one !== null);

  test("any order of arrival gives the same state", () => {
    const shuffled = histories.chain((list) =>
      fc.tuple(fc.constant(list), fc.shuffledSubarray(list, { minLength: list.length })),
    );
    fc.assert(
      fc.property(shuffled, ([list, other]) => {
        expect(state(readAll(other))).toEqual(state(readAll(list)));
      }),
    );
  });

  test("what is sent twice counts once", () => {
    fc.assert(
      fc.property(histories, (list) => {
        expect(state(readAll([...list, ...list]))).toEqual(state(readAll(list)));
      }),
    );
  });

  test("nothing that JSON can hold makes it throw", () => {
    const bodies = fc.record({ kind: fc.constantFrom("lost", "received", "x"), body: fc.object() });
    fc.assert(
      fc.property(fc.array(fc.oneof(fc.jsonValue(), bodies.map(raw))), (list) => {
        state(readAll(list));
      }),
    );
  });

  test("an account always balances", () => {
    fc.assert(
      fc.property(histories, (list) => {
        for (const id of subjects) {
          const { ledger: l } = batchJson(fold.batch(id, readAll(list)));
          const went = l.died + l.culled + l.sampled + l.destroyed + l.stolen + l.planted + l.sent;
          const between = l.split + l.joined + l.mixed + l.settled;
          expect(l.in).toBe(l.alive + went + between + l.difference);
        }
      }),
    );
  });
});

test("ids of tests are canonical", () => {
  expect(idOf(255)).toBe("00000000-0000-7000-8000-0000000000ff");
});

function files(folder: string): string[] {
  try {
    return readdirSync(`${VECTORS}/${folder}`).filter((name) => name.endsWith(".json"));
  } catch {
    return [];
  }
}

function load(path: string): unknown {
  return JSON.parse(readFileSync(`${VECTORS}/${path}`, "utf8"));
}

/** An entry may stand as an object or as the text that a phone sent. */
function decoded(value: unknown): unknown {
  return typeof value === "string" ? JSON.parse(value) : value;
}
