import { expect, test } from "vitest";
import { entry, instant } from "../testing/entries";
import type { Instant } from "./entry";
import { acceptsFrom, restOf } from "./rest";

const at = (minute: number) => instant(minute) as Instant;
const done = (id: number, kind: string, body: Record<string, unknown> = {}) =>
  entry({ id, kind, body, about: ["q-room"] });

test("a room knows when it was emptied, cleaned and readied last", () => {
  const told = [
    done(9, "emptied"),
    done(5, "emptied"),
    done(12, "cleaned", { product: "copper" }),
    done(14, "cleaned", {}),
    done(13, "entered"),
  ];
  expect(restOf(told)).toEqual({ emptiedAt: at(9), cleanedAt: at(12), readiedAt: null });
  expect(restOf([...told, done(30, "readied")]).readiedAt).toBe(at(30));
  expect(restOf([])).toEqual({ emptiedAt: null, cleanedAt: null, readiedAt: null });
});

test.each([
  [10, 20, at(20 + 7 * 24 * 60)],
  [20, 10, null],
  [null, 10, null],
  [10, null, null],
])("emptied at minute %s and cleaned at %s it takes plants from %s on", (empty, clean, from) => {
  const rest = {
    emptiedAt: empty === null ? null : at(empty),
    cleanedAt: clean === null ? null : at(clean),
    readiedAt: null,
  };
  expect(acceptsFrom(rest, 7 * 24)).toBe(from);
});
