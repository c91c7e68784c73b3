import { describe, expect, test } from "vitest";
import { Pace, type Standing } from "./pace";

/** The waits before a tick after so many failures in a row, in seconds. */
function waits(standing: Standing, count: number, random = 0.5): number[] {
  const pace = new Pace(() => random);
  return Array.from({ length: count }, () => {
    pace.began(0);
    pace.ended(0, standing);
    return pace.due("tick", 0) / 1000;
  });
}

describe("when a page that somebody is at glances at the office", () => {
  const TOUCHED = 0;

  function calm(random = 0): Pace {
    const pace = new Pace(() => random);
    pace.began(0);
    pace.ended(0, "calm");
    return pace;
  }

  test("at once after a calm round, and then every 1.2 to 1.4 seconds", () => {
    expect(calm().glance(0, TOUCHED)).toBe(0);
    const waits = [0, 0.999].map((random) => {
      const pace = calm(random);
      pace.glanced(5000, true);
      return pace.glance(5000, TOUCHED);
    });
    expect(waits[0]).toBe(1200);
    expect(waits[1]).toBeCloseTo(1400, 0);
  });

  test("not before any round was calm, nor after one that was not", () => {
    expect(new Pace().glance(0, TOUCHED)).toBeNull();
    const others: Standing[] = ["no_net", "later", "sign_in", "revoked", "update_first", "shelf"];
    for (const standing of others) {
      const pace = calm();
      pace.ended(1000, standing, standing === "later" ? 60 : null);
      expect(pace.glance(1000, TOUCHED)).toBeNull();
      pace.ended(90_000, "calm");
      expect(pace.glance(90_000, TOUCHED)).toBe(0);
    }
  });

  test("until nobody has touched it for five minutes", () => {
    expect(calm().glance(299_999, TOUCHED)).toBe(0);
    expect(calm().glance(300_000, TOUCHED)).toBeNull();
    expect(calm().glance(300_000, 1)).toBe(0);
  });

  test("after one that failed the next half minute belongs to rounds", () => {
    const pace = calm();
    pace.glanced(1000, false);
    expect(pace.glance(1000, TOUCHED)).toBe(30_000);
    pace.ended(2000, "calm");
    expect(pace.glance(2000, TOUCHED)).toBe(29_000);
  });

  test("a glance moves no round: a person's, or the clock's", () => {
    const pace = calm();
    pace.glanced(10_000, true);
    expect(pace.due("person", 10_000)).toBe(0);
    expect(pace.due("tick", 10_000)).toBe(20_000);
  });
});

describe("when the office is tried again", () => {
  test("every half minute where all is well", () => {
    expect(waits("calm", 3)).toEqual([30, 30, 30]);
    expect(waits("update_first", 2)).toEqual([30, 30]);
  });

  test("without signal after 2 s, then twice as long each time, up to five minutes, for ever", () => {
    expect(waits("no_net", 10)).toEqual([2, 4, 8, 16, 32, 64, 128, 256, 300, 300]);
    expect(waits("no_net", 10_000).at(-1)).toBe(300);
  });

  test("phones that lost the same signal do not come back in one moment", () => {
    expect(waits("no_net", 1, 0)).toEqual([1.5]);
    expect(waits("no_net", 1, 0.999).every((wait) => wait > 2.4 && wait <= 2.5)).toBe(true);
  });

  test("a phone that is shut out asks every quarter of an hour", () => {
    expect(waits("sign_in", 2)).toEqual([900, 900]);
    expect(waits("revoked", 2)).toEqual([900, 900]);
  });

  test("what a person does tries at once, though never twice within two seconds", () => {
    const pace = new Pace(() => 0.5);
    for (let i = 0; i < 9; i += 1) pace.ended(0, "no_net");
    pace.began(1000);
    expect(pace.due("person", 1500)).toBe(1500);
    expect(pace.due("person", 3000)).toBe(0);
    expect(pace.due("tick", 3000)).toBe(28_000);
  });

  test("a wait that the office asked for holds for all but a tap on it", () => {
    const pace = new Pace(() => 0.5);
    pace.began(0);
    pace.ended(0, "later", 60);
    expect(pace.due("tick", 0)).toBe(60_000);
    expect(pace.due("person", 10_000)).toBe(50_000);
    expect(pace.due("asked", 10_000)).toBe(0);
  });

  test("an office that answers again after long silence is not kept waiting", () => {
    const pace = new Pace(() => 0.5);
    for (let i = 0; i < 20; i += 1) pace.ended(0, "no_net");
    pace.ended(0, "later");
    expect(pace.due("tick", 0)).toBe(2000);
    pace.ended(0, "later");
    expect(pace.due("tick", 0)).toBe(4000);
  });

  test("the first success ends all waits", () => {
    const pace = new Pace(() => 0.5);
    for (let i = 0; i < 9; i += 1) pace.ended(0, "no_net");
    pace.ended(0, "calm");
    expect(pace.due("tick", 0)).toBe(30_000);
    pace.ended(0, "no_net");
    expect(pace.due("tick", 0)).toBe(2000);
  });
});
