import fc from "fast-check";
import { expect, test } from "vitest";
import { instantOf, madeAt, msOf } from "./instant";
import { nextId } from "./write";

const instants = fc.date({
  min: new Date("1000-01-01T00:00:00.000Z"),
  max: new Date("2999-12-31T23:59:59.999Z"),
  noInvalidDate: true,
});

test("an instant is so many milliseconds from 1970, as the browser's own clock reads it", () => {
  fc.assert(
    fc.property(instants, (date) => {
      expect(msOf(date.toISOString())).toBe(date.getTime());
      expect(instantOf(date.getTime())).toBe(date.toISOString());
    }),
  );
});

test.each([
  "1970-01-01T00:00:00.000Z",
  "2032-02-29T12:00:00.500Z",
  "2100-03-01T00:00:00.000Z",
  "2000-12-31T23:59:59.999Z",
])("%s too", (instant) => {
  expect(msOf(instant)).toBe(Date.parse(instant));
  expect(instantOf(msOf(instant))).toBe(instant);
});

test("an id tells when it was made", () => {
  expect(madeAt(nextId(1_930_000_000_123, null, new Uint8Array(8)))).toBe(1_930_000_000_123);
});
