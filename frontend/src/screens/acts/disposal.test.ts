import { expect, test } from "vitest";
import { disposalOf, isReady, NO_DISPOSAL } from "./disposal";

test.each([
  [
    { kg: "3.1", method: "burned", witness: "Iven Dorrel" },
    true,
    { kg: 3.1, witness: "Iven Dorrel" },
  ],
  [{ kg: "", method: "burned", witness: "" }, true, {}],
  [{ kg: "1.234", method: "burned", witness: "" }, false, {}],
])("%j may be saved: %s", (form, ready, more) => {
  expect(isReady(form)).toBe(ready);
  expect(disposalOf(form)).toEqual({ method: "burned", ...more });
});

test("without a method nothing was destroyed, and a long name is cut", () => {
  expect(isReady(NO_DISPOSAL)).toBe(false);
  const { witness } = disposalOf({ ...NO_DISPOSAL, witness: "w".repeat(80) });
  expect(witness).toHaveLength(64);
});
