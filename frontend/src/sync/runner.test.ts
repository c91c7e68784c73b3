import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Hub, News } from "./hub";
import { Runner } from "./runner";

/** What the page's worker was told, in order. */
let told: string[];
let hear: (news: News) => void;
let happens: Record<string, () => void>;
let page: { visibilityState: string; addEventListener: (what: string, act: () => void) => void };
let connection: { saveData: boolean };

class FakeWorker {
  onmessage: (() => void) | null = null;

  constructor() {
    setTimeout(() => this.onmessage?.(), 1);
  }

  postMessage(what: string): void {
    told.push(what);
  }
}

beforeEach(async () => {
  vi.useFakeTimers();
  told = [];
  happens = {};
  connection = { saveData: false };
  const listen = (what: string, act: () => void): void => {
    happens[what] = act;
  };
  page = { visibilityState: "visible", addEventListener: listen };
  vi.stubGlobal("document", page);
  vi.stubGlobal("addEventListener", listen);
  vi.stubGlobal("Worker", FakeWorker);
  vi.stubGlobal("navigator", { connection });
  const ends: Hub = { tell: () => undefined, on: (listener) => (hear = listener) };
  new Runner(ends).watch();
  await vi.advanceTimersByTimeAsync(10);
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

function round(standing: "calm" | "no_net" | "later" = "calm", retryAfterS: number | null = null) {
  hear({ t: "round", standing, retryAfterS, heardAt: null });
}

/** Let time go by with an office that answers; say how many glances there were. */
async function glances(ms: number, good = true): Promise<number> {
  let count = 0;
  for (let at = 0; at < ms; at += 50) {
    await vi.advanceTimersByTimeAsync(50);
    for (const what of told.splice(0)) {
      if (what === "glance") hear({ t: "glance", good });
      if (what === "glance") count += 1;
      else round();
    }
  }
  return count;
}

describe("a page that is open", () => {
  test("begins with a round, and glances only once it was calm", async () => {
    await vi.advanceTimersByTimeAsync(5000);
    expect(told).toEqual(["go"]);
    round();
    await vi.advanceTimersByTimeAsync(10);
    expect(told).toEqual(["go", "glance"]);
  });

  test("glances every 1.2 to 1.45 seconds, and has its rounds besides", async () => {
    round();
    const count = await glances(29_000);
    expect(count).toBeGreaterThanOrEqual(20);
    expect(count).toBeLessThanOrEqual(25);
    await vi.advanceTimersByTimeAsync(2000);
    expect(told).toContain("go");
  });

  test("asks again for one that was left out", async () => {
    round();
    await vi.advanceTimersByTimeAsync(1300);
    expect(told.filter((what) => what === "glance")).toHaveLength(2);
  });

  test("does not glance while it is hidden, and at once when it is seen again", async () => {
    round();
    await glances(5000);
    page.visibilityState = "hidden";
    happens["visibilitychange"]?.();
    expect(await glances(20_000)).toBe(0);
    page.visibilityState = "visible";
    happens["visibilitychange"]?.();
    expect(await glances(3000)).toBeGreaterThanOrEqual(2);
  });

  test("does not glance once nobody has touched it for five minutes, until somebody does", async () => {
    round();
    expect(await glances(300_000)).toBeGreaterThan(150);
    expect(await glances(60_000)).toBe(0);
    happens["pointerdown"]?.();
    expect(await glances(3000)).toBeGreaterThanOrEqual(2);
  });

  test("does not glance where the office wants to rest, nor without signal", async () => {
    for (const standing of ["later", "no_net"] as const) {
      round();
      await vi.advanceTimersByTimeAsync(10);
      told.length = 0;
      round(standing, standing === "later" ? 60 : null);
      await vi.advanceTimersByTimeAsync(1400);
      expect(told).toEqual([]);
    }
  });

  test("a glance that failed is followed by half a minute without any", async () => {
    round();
    expect(await glances(29_000, false)).toBe(1);
  });

  test("does not glance where the person saves data", async () => {
    connection.saveData = true;
    round();
    expect(await glances(20_000)).toBe(0);
  });

  test("touches do not make it glance more often", async () => {
    round();
    let count = 0;
    for (let i = 0; i < 100; i += 1) {
      happens["keydown"]?.();
      count += await glances(100);
    }
    expect(count).toBeLessThanOrEqual(9);
  });
});
