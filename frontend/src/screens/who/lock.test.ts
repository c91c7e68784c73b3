import { beforeEach, expect, test, vi } from "vitest";
import { LONGEST_MS, openedAt, right, TRIES, wrong } from "./lock";

const NOW = 1_000_000_000;
const MINUTE = 60_000;
let store: Map<string, string>;

beforeEach(() => {
  store = new Map();
  vi.stubGlobal("localStorage", {
    getItem: (key: string) => store.get(key) ?? null,
    setItem: (key: string, value: string) => store.set(key, value),
  });
});

function shut(person: string): void {
  for (let n = 0; n < TRIES; n += 1) wrong(person, NOW);
}

test("the fifth wrong PIN in a row shuts a tile for two minutes, and no other tile", () => {
  for (let n = 1; n < TRIES; n += 1) expect(wrong("p-1", NOW)).toBeNull();
  expect(openedAt("p-1", NOW)).toBeNull();
  expect(wrong("p-1", NOW)).toBe(NOW + 2 * MINUTE);
  expect(openedAt("p-1", NOW + MINUTE)).toBe(NOW + 2 * MINUTE);
  expect(openedAt("p-2", NOW)).toBeNull();
});

test("it asks again by itself; each wrong one more shuts it twice as long, up to an hour", () => {
  shut("p-1");
  let now = NOW + 2 * MINUTE;
  expect(openedAt("p-1", now)).toBeNull();
  for (const minutes of [4, 8, 16, 32, 60, 60]) {
    expect(wrong("p-1", now)).toBe(now + minutes * MINUTE);
    now += minutes * MINUTE;
    expect(openedAt("p-1", now)).toBeNull();
  }
});

test("the right one begins anew", () => {
  shut("p-1");
  wrong("p-2", NOW);
  right("p-1");
  expect(openedAt("p-1", NOW)).toBeNull();
  expect(wrong("p-1", NOW)).toBeNull();
  expect(store.get("pins")).toContain("p-2");
});

test("a clock that was set back shuts nothing for longer than an hour", () => {
  shut("p-1");
  expect(openedAt("p-1", NOW - LONGEST_MS)).toBeNull();
});

test("it survives a reload, and what cannot be read shuts nobody out", () => {
  shut("p-1");
  expect(JSON.parse(store.get("pins") ?? "")).toEqual({
    "p-1": { n: TRIES, until: NOW + 2 * MINUTE },
  });
  for (const text of ["{", "7", "null"]) {
    store.set("pins", text);
    expect(openedAt("p-1", NOW)).toBeNull();
  }
});
