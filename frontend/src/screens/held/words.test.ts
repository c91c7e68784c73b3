// @vitest-environment jsdom
import { beforeAll, describe, expect, test } from "vitest";
import type { Hold } from "../../log/world";
import { speech } from "../../parts/speech.svelte";
import { byWhat, endOf, forbidden, together } from "./words";

beforeAll(async () => {
  await speech.speak("en");
});

const FIND = "0190a0a0-0000-7000-8000-000000000001";
const hold = (by: string, reference: string, more: Partial<Hold> = {}): Hold => ({
  ...{ by, reference, since: "2032-09-13T04:00:00.000Z", orders: [] },
  ...{ here: false, batches: [], people: [], ...more },
});
const GROUND = hold("place_order", "Q-1");

describe("what holds positions", () => {
  test.each([
    [[hold("order", "Q-1")], "order Q-1"],
    [[hold("find", FIND)], "a find nearby"],
    [[hold("find", FIND, { orders: ["Q-9"] })], "order Q-9"],
    [[hold("order", "Q-1"), hold("breach", FIND)], "order Q-1 and a breach of the room"],
  ])("is told in words: %j", (holds, words) => {
    expect(byWhat(holds)).toBe(words);
  });

  test("is told once of many positions, as ground where it is about ground, the oldest first", () => {
    const older = hold("order", "Q-0", { since: "2032-09-01T04:00:00.000Z" });
    expect(
      together([
        [hold("order", "Q-1"), GROUND],
        [GROUND, older],
      ]),
    ).toEqual([older, GROUND]);
  });

  test.each([
    [hold("order", "Q-1"), "a lift of Q-1 is here in writing"],
    [hold("find", FIND), "the grower lifts a mis-tap, or the authority lifts the hold in writing"],
    [hold("breach", FIND), "the authority orders what follows, for the room or the plants"],
    [hold("breach", FIND, { orders: ["Q-9"] }), "a lift of Q-9 is here in writing"],
  ])("says what ends it: %j", (one, words) => {
    expect(endOf(one)).toBe(words);
  });

  test("forbids planting in held ground alone", () => {
    expect(forbidden([GROUND])).toContain("held.no_planting");
    expect(forbidden([hold("order", "Q-1")])).not.toContain("held.no_planting");
    expect(forbidden([hold("order", "Q-1")])).toContain("held.no_lifting");
  });
});
