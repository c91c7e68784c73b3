import { describe, expect, test } from "vitest";
import { entry, instant, type Raw } from "../testing/entries";
import * as fold from "./fold";
import { placeJson } from "./place";

describe("a place", () => {
  const room = (...given: Raw[]) =>
    placeJson(
      fold.place(
        "r-1",
        given.map((one) => entry({ about: ["r-1"], ...one })),
      ),
    );
  const visitor = { visitor: { name: "Ola", firm: "Pump and Pipe" } };

  test("knows who is inside, once each, until they leave", () => {
    const came = [
      { id: 1, kind: "entered", body: {} },
      { id: 2, kind: "entered", body: { person: "p-1" } },
      { id: 3, kind: "entered", body: visitor },
      { id: 4, kind: "entered", body: { visitor: { name: "Ida" } } },
    ];
    const went = { id: 5, kind: "left", body: {} };
    expect(room(...came).inside).toEqual([
      { who: "p-1", visitor: false, since: instant(2), until: null },
      { who: "Ola, Pump and Pipe", visitor: true, since: instant(3), until: null },
      { who: "Ida", visitor: true, since: instant(4), until: null },
    ]);
    expect(room(...came, went).inside).toHaveLength(2);
  });

  test("may be entered again when the longest of its re-entry times is over", () => {
    const sprayed = (id: number, until: number | null): Raw => ({
      id,
      kind: "treated",
      body: {
        product: "x",
        started_at: instant(0),
        ended_at: instant(1),
        reentry_until: until === null ? null : instant(until),
      },
    });
    expect(room(sprayed(1, null)).reentry_until).toBeNull();
    expect(room(sprayed(1, 90), sprayed(2, 60), sprayed(3, null)).reentry_until).toBe(instant(90));
  });

  test("is held and freed like a batch, and other facts pass it by", () => {
    const held = { kind: "ordered", body: { act: "hold", reference: "Q-1" } };
    const wet = { id: 2, kind: "watered", body: { minutes: 4 } };
    expect(room(held, wet).holds).toEqual({ "Q-1": instant(1) });
  });
});
