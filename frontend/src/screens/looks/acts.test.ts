import { expect, test, vi } from "vitest";

vi.mock("../route.svelte", () => ({
  to: (...parts: string[]) => parts.join("/"),
  toBatch: (id: string) => `batch/${id}`,
}));

const { reasonsOf, settledBody, waysOf } = await import("./acts");

test.each([
  ["difference", ["count/b-1"]],
  ["disagreement", ["count/b-1"]],
  ["label_twice", ["relabel/b-1"]],
  ["no_paper", ["photo/b-1"]],
  ["contested", ["batch/b-1"]],
  ["clock_off", []],
])("about %s can be done: %o", (code, ways) => {
  expect(waysOf(code, "b-1", true).map(({ href }) => href)).toEqual(ways);
});

test("of a place there is no sheet of records to read", () => {
  expect(waysOf("contested", "r-1", false)).toEqual([]);
});

const missing = { id: "difference:x", params: { plants: 2 } };
const reason = (code: string) => reasonsOf("difference").find((one) => one.code === code) ?? null;

test.each([
  ["died", missing, { plants: 2, fate: "died" }],
  ["miscounted", missing, { plants: 2 }],
  ["died", { ...missing, params: { plants: -1 } }, { plants: -1 }],
  ["died", { ...missing, params: {} }, {}],
])("a difference put down to %s: %o", (code, doubt, more) => {
  expect(settledBody(doubt, reason(code), "why")).toEqual({
    ...{ doubt: "difference:x", reason: "why" },
    ...more,
  });
});

test("what is no difference is settled by its reason alone", () => {
  const [first] = reasonsOf("suspicion");
  const doubt = { id: "suspicion:x", params: { plants: 3 } };
  expect(settledBody(doubt, first ?? null, "why")).toEqual({ doubt: "suspicion:x", reason: "why" });
  expect(reasonsOf("clock_off").map(({ code }) => code)).toEqual(["right", "mistake", "told"]);
});
