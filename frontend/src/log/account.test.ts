import { describe, expect, test } from "vitest";
import { COUNTED, counted, folded, lost, NEW, RECEIVED } from "../testing/batches";
import { entry, instant, type Raw } from "../testing/entries";
import * as fold from "./fold";

describe("a batch", () => {
  test("is nothing before anything happened", () => {
    expect(folded("b-1")).toMatchObject({ alive: null, label: null, place: null, closed: false });
  });

  test("stands where it arrived, and the paper's figure is no count", () => {
    expect(folded("b-1", RECEIVED)).toMatchObject({
      label: "T1",
      stage: "growing_on",
      place: "r-1",
      since: instant(1),
      alive: null,
    });
  });

  test("opens its account with the first count, whatever was lost before it", () => {
    const { ledger } = folded("b-1", RECEIVED, lost(2, 4), counted(3, 50));
    expect(ledger).toMatchObject({ in: 54, alive: 50, died: 4, difference: 0 });
  });

  test("shows what a later count cannot explain", () => {
    const { ledger } = folded("b-1", RECEIVED, COUNTED, counted(3, 53));
    expect(ledger).toMatchObject({ in: 54, alive: 53, difference: 1 });
  });

  test.each([
    ["a fate", { fate: "died" }, { died: 1, settled: 0 }],
    ["nothing", {}, { died: 0, settled: 1 }],
  ])("puts a settled difference down to %s", (_, more, ways) => {
    const body = { doubt: "difference:x", reason: "behind the drip line", plants: 1, ...more };
    const { ledger } = folded("b-1", COUNTED, counted(3, 53), { id: 4, kind: "settled", body });
    expect(ledger).toMatchObject({ ...ways, difference: 0 });
  });

  test("leaves the account alone where another doubt is settled", () => {
    const body = { doubt: "contested:x", reason: "asked", plants: 3 };
    expect(folded("b-1", COUNTED, { id: 4, kind: "settled", body }).ledger.settled).toBe(0);
  });

  test("is closed when nothing lives and the officer's bag is empty", () => {
    const dead = lost(3, 54, { kept: true });
    const burned = { what: "dead", method: "burned", plants: [{ id: "b-1", count: 54 }] };
    expect(folded("b-1", COUNTED, dead).closed).toBe(false);
    expect(folded("b-1", COUNTED, dead, { id: 4, kind: "disposed", body: burned }).closed).toBe(
      true,
    );
  });

  test("keeps in the bag what another batch's waste does not take", () => {
    const burned = { what: "dead", method: "burned", plants: [{ id: "b-2", count: 9 }] };
    const none = { what: "packing", method: "burned" };
    const state = fold.batch("b-1", [
      entry(lost(2, 4, { kept: true })),
      entry({ id: 3, kind: "disposed", body: burned }),
      entry({ id: 4, kind: "disposed", body: none }),
    ]);
    expect(state.bag.get("died")).toBe(4);
  });

  test("sends plants out and takes them back", () => {
    const plants = [
      { id: "b-1", count: 5 },
      { id: "b-2", count: 9 },
    ];
    const sent: Raw = { id: 3, kind: "sent", body: { receiver: "x", plants } };
    const back: Raw = { id: 4, kind: "returned", body: { sender: "x", plants } };
    expect(folded("b-1", COUNTED, sent).ledger).toMatchObject({ alive: 49, sent: 5 });
    expect(folded("b-1", COUNTED, sent, back).ledger).toMatchObject({ alive: 54, sent: 0 });
  });

  test("is planted when its last plant stands in the field", () => {
    const body = { block: "k", positions: ["1", "2"] };
    const some = folded("b-1", RECEIVED, counted(2, 3), { id: 3, kind: "planted", body });
    const all = folded("b-1", RECEIVED, counted(2, 2), { id: 3, kind: "refilled", body });
    expect([some.stage, all.stage]).toEqual(["growing_on", "planted"]);
  });
});

describe("an estimate", () => {
  const estimate = (id: number, alive: number): Raw => ({
    id,
    kind: "counted",
    body: { method: "estimate", alive },
  });

  test("opens an account that nobody counted, until somebody counts", () => {
    expect(folded("b-1", estimate(2, 40))).toMatchObject({ alive: 40, estimated: true });
    expect(folded("b-1", estimate(2, 40), counted(3, 44))).toMatchObject({
      estimated: false,
      ledger: { in: 44, difference: 0 },
    });
  });

  test("overrules no count", () => {
    expect(folded("b-1", COUNTED, estimate(3, 40))).toMatchObject({ alive: 54, estimate: 40 });
    expect(folded("b-1", COUNTED, estimate(3, 40), counted(4, 53)).estimate).toBeNull();
  });

  test("of a seedbed lets in no more than were sown", () => {
    const sown: Raw = { kind: "sown", body: { batch: NEW, seeds: 50 } };
    expect(folded("b-1", sown, counted(2, 0)).stage).toBe("seed");
    expect(folded("b-1", sown, counted(2, 30), counted(3, 60))).toMatchObject({
      stage: "seedlings",
      ledger: { in: 50, alive: 60, difference: -10 },
    });
  });
});
