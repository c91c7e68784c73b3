import { expect, test, vi } from "vitest";
import { fresh } from "../testing/shelf";
import { Copy } from "./copy";
import { forecast, keepForecast, tagOf } from "./forecast";

const AT = "2031-03-03T02:00:00.000Z";

function batches(count: number): Record<string, unknown> {
  const gates = "x".repeat(1000);
  return Object.fromEntries(Array.from({ length: count }, (_, i) => [`b-${i}`, { i, gates }]));
}

const BODIES: [string, unknown][] = [
  ["of a large nursery", { checks: [{ id: "1" }], batches: batches(300), planting: null }],
  ["of one batch that is larger than a part", { batches: { "b-1": { x: "y".repeat(200_000) } } }],
  ["of a nursery without batches", { checks: [], batches: {} }],
  ["that says nothing of batches", { checks: [] }],
  ["that is nothing", null],
];

test.each(BODIES)("an outlook %s is read as it was kept", async (_, body) => {
  const copy = new Copy("copy-a", fresh("copy"));
  expect([await forecast(copy), await tagOf(copy)]).toEqual([null, null]);
  await keepForecast(copy, { tag: '"t"', at: AT, body });
  for (const inTurn of [false, true]) {
    expect(await forecast(copy, inTurn)).toEqual({ tag: '"t"', at: AT, body });
  }
  expect((await copy.all()).outlook).toEqual({ tag: '"t"', at: AT, body });
  expect(await tagOf(copy)).toBe('"t"');
});

test("no part is so large that a slow phone stands still while it reads it", async () => {
  const copy = new Copy("copy-a", fresh("copy"));
  const told = vi.spyOn(copy, "tellAll");
  await keepForecast(copy, { tag: null, at: AT, body: { batches: batches(300) } });
  const [, ...parts] = told.mock.calls[0]?.[0] ?? [];
  expect(parts.length).toBeGreaterThan(4);
  for (const [, part] of parts) expect((part as string).length).toBeLessThan(62_000);
});

test("of one that was larger nothing stays behind", async () => {
  const copy = new Copy("copy-a", fresh("copy"));
  await keepForecast(copy, { tag: "1", at: AT, body: { batches: batches(300) } });
  await keepForecast(copy, { tag: "2", at: AT, body: { batches: batches(3) } });
  expect(await forecast(copy)).toEqual({ tag: "2", at: AT, body: { batches: batches(3) } });
  expect(await copy.told("outlook 1")).not.toBeNull();
  expect(await copy.told("outlook 2")).toBeNull();
});

test("what a build before kept whole is read, and gives way to the next", async () => {
  const copy = new Copy("copy-a", fresh("copy"));
  const body = { checks: [], batches: batches(2) };
  await copy.tell("outlook", { tag: "1", at: AT, body });
  expect(await forecast(copy)).toEqual({ tag: "1", at: AT, body });
  expect(await tagOf(copy)).toBe("1");
  await keepForecast(copy, { tag: "2", at: AT, body: null });
  expect(await forecast(copy)).toEqual({ tag: "2", at: AT, body: null });
});
