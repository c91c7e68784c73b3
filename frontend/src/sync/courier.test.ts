import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { Courier } from "./courier";
import type { Engine, Round } from "./engine";
import type { Hub, News } from "./hub";

const CALM: Round = { standing: "calm", retryAfterS: null, heardAt: null };

/** A call of the engine that goes on until the test lets it end. */
interface Open {
  readonly signal: AbortSignal;
  readonly end: (result: Round | null) => void;
}

let told: News[];
let hear: (news: News) => void;
let rounds: Open[];
let glances: Open[];
let courier: Courier;

beforeEach(() => {
  told = [];
  rounds = [];
  glances = [];
  const listeners: ((news: News) => void)[] = [];
  const ends: Hub = { tell: (news) => told.push(news), on: (one) => listeners.push(one) };
  hear = (news) => {
    for (const one of listeners) one(news);
  };
  const open = (row: Open[]) => (signal: AbortSignal) =>
    new Promise<Round | null>((end) => row.push({ signal, end }));
  const engine = { round: open(rounds), glance: open(glances) } as unknown as Engine;
  // A browser without locks, so that one tab alone is looked at.
  vi.stubGlobal("navigator", {});
  courier = new Courier(() => engine, ends);
});
afterEach(() => {
  vi.unstubAllGlobals();
});

/** Let all that can go on go on. */
async function rest(): Promise<void> {
  for (let i = 0; i < 20; i += 1) await Promise.resolve();
}

describe("a glance", () => {
  test("that goes well says only that it is over", async () => {
    const glance = courier.glance();
    glances[0]?.end(null);
    await glance;
    expect(told).toEqual([{ t: "glance", good: true }]);
    expect(rounds).toEqual([]);
  });

  test("is left out while a round or another glance goes on", async () => {
    void courier.glance();
    await courier.glance();
    expect(glances).toHaveLength(1);
    void courier.kick();
    glances[0]?.end(null);
    await rest();
    await courier.glance();
    expect([glances.length, rounds.length]).toEqual([1, 1]);
  });

  test("gives way to a round at once, here or in another tab, and says nothing then", async () => {
    const [first] = [courier.glance()];
    void courier.kick();
    expect(glances[0]?.signal.aborted).toBe(true);
    glances[0]?.end({ ...CALM, standing: "no_net" });
    await first;
    expect(told).toEqual([{ t: "wants" }]);
    rounds[0]?.end(CALM);
    await rest();
    const second = courier.glance();
    hear({ t: "wants" });
    expect(glances[1]?.signal.aborted).toBe(true);
    glances[1]?.end(null);
    await second;
    expect(told.filter(({ t }) => t === "glance")).toEqual([]);
    hear({ t: "idle" });
  });

  test.each(["sign_in", "no_net", "later"] as const)(
    "that meets trouble has a round find out about it: %s",
    async (standing) => {
      const glance = courier.glance();
      glances[0]?.end({ ...CALM, standing });
      await glance;
      await rest();
      expect(told).toEqual([{ t: "glance", good: false }, { t: "wants" }]);
      expect(rounds).toHaveLength(1);
    },
  );

  test("of an office that wants to rest lets it rest, and says so as a round would", async () => {
    const later: Round = { standing: "later", retryAfterS: 60, heardAt: null };
    const glance = courier.glance();
    glances[0]?.end(later);
    await glance;
    await rest();
    expect(told).toEqual([
      { t: "glance", good: false },
      { t: "round", ...later },
    ]);
    expect(rounds).toEqual([]);
  });
});
