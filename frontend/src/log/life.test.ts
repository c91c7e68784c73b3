import { describe, expect, test } from "vitest";
import { COUNTED, divided, folded, NEW, RECEIVED } from "../testing/batches";
import { instant, type Raw } from "../testing/entries";

describe("where a batch comes from", () => {
  test("stock already here is counted at once", () => {
    const body = { batch: { ...NEW, stage: "seedlings", place: "r-2" }, alive: 12, method: "full" };
    expect(folded("b-1", { kind: "taken_on", body })).toMatchObject({
      alive: 12,
      stage: "seedlings",
      place: "r-2",
    });
  });

  test("seedlings come in as they come up, and the total never runs backwards", () => {
    const up = (id: number, total: number): Raw => ({ id, kind: "emerged", body: { total } });
    const sown: Raw = { kind: "sown", body: { batch: NEW, seeds: 100 } };
    expect(folded("b-1", sown, up(2, 0))).toMatchObject({ stage: "seed", alive: null });
    expect(folded("b-1", sown, up(2, 30), up(3, 20), up(4, 41))).toMatchObject({
      stage: "seedlings",
      alive: 41,
      ledger: { in: 41, difference: 0 },
    });
  });

  test("cuttings name the batch that they were taken from", () => {
    const body = { batch: NEW, cuttings: 20, parents: ["b-7"] };
    expect(folded("b-1", { kind: "stuck", body })).toMatchObject({ alive: 20, parents: ["b-7"] });
    const plain: Raw = { kind: "stuck", body: { batch: NEW, cuttings: 20 } };
    expect(folded("b-1", plain).parents).toEqual([]);
    expect(folded("b-7", { kind: "stuck", body, about: ["b-7"] }).alive).toBeNull();
  });

  test("a graft has the parents of both", () => {
    const worked = (id: number, scion?: string): Raw => ({
      id,
      kind: "worked",
      body: { method: "budded", plants: 5, ...(scion ? { scion } : {}) },
    });
    expect(folded("b-1", worked(2, "b-3"), worked(3, "b-3"), worked(4))).toMatchObject({
      stage: "grafted",
      parents: ["b-3"],
    });
    expect(folded("b-1", worked(2, "b-1")).stage).toBeNull();
  });

  test.each([
    ["split", "split"],
    ["pricked", "split"],
    ["mixed", "mixed"],
    ["joined", "joined"],
  ])("what is %s goes from one account to the other", (kind, way) => {
    const child = { id: "b-3", label: "U", count: 8, place: "r-2", stage: "seedlings" };
    const event = { ...divided(kind, [{ id: "b-1", left: 46 }], [child]), about: ["b-1", "b-3"] };
    expect(folded("b-1", COUNTED, event).ledger).toMatchObject({
      alive: 46,
      [way]: 8,
      difference: 0,
    });
    expect(folded("b-3", event)).toMatchObject({
      alive: 8,
      label: "U",
      place: "r-2",
      stage: "seedlings",
      parents: ["b-1"],
      ledger: { in: 0, [way]: -8, difference: 0 },
    });
  });

  test("of several parents each account follows what was left", () => {
    const parents = [
      { id: "b-1", left: 48 },
      { id: "b-2", left: 43 },
    ];
    const child = { id: "b-3", label: "U", count: 8, parents: ["b-1"] };
    const event = { ...divided("mixed", parents, [child]), about: ["b-1", "b-2", "b-3"] };
    expect(folded("b-1", COUNTED, event).ledger).toMatchObject({ alive: 48, mixed: 6 });
    expect(folded("b-2", event).ledger).toMatchObject({ alive: 43, mixed: 0 });
    expect(folded("b-3", event)).toMatchObject({ stage: "growing_on", parents: ["b-1"] });
  });
});

describe("what a batch is called and where it stands", () => {
  const at = (id: number, kind: string, body: Record<string, unknown>): Raw => ({ id, kind, body });

  test("a move to the same place begins no new stay", () => {
    const moves = [at(2, "moved", { to: "r-1" }), at(3, "moved", { to: "r-2" })];
    expect(folded("b-1", RECEIVED, at(2, "moved", { to: "r-1" })).since).toBe(instant(1));
    expect(folded("b-1", RECEIVED, ...moves)).toMatchObject({ place: "r-2", since: instant(3) });
  });

  test("potting on may move it", () => {
    const stays = at(2, "potted", { container: "pot" });
    const goes = at(2, "potted", { container: "pot", place: "r-2" });
    expect(folded("b-1", RECEIVED, stays).place).toBe("r-1");
    expect(folded("b-1", RECEIVED, goes).place).toBe("r-2");
  });

  test("a new label takes the old one's place", () => {
    expect(folded("b-1", RECEIVED, at(2, "relabelled", { old: "T1", new: "T8" })).label).toBe("T8");
  });

  test("a step of toughening is a stage", () => {
    expect(folded("b-1", RECEIVED, at(2, "stepped", { step: "forward" })).stage).toBe("toughening");
  });

  test("a hold stands until it is lifted by its reference, or all are", () => {
    const order = (id: number, act: string, reference: string, lifts?: string): Raw =>
      at(id, "ordered", { act, reference, ...(lifts ? { lifts } : {}) });
    const held = [order(2, "hold", "Q-1"), order(3, "hold", "Q-2"), order(4, "treat", "Q-3")];
    expect(folded("b-1", ...held).holds).toEqual({ "Q-1": instant(2), "Q-2": instant(3) });
    expect(folded("b-1", ...held, order(5, "lift", "L-1", "Q-1")).holds).toEqual({
      "Q-2": instant(3),
    });
    expect(folded("b-1", ...held, order(5, "lift", "L-1")).holds).toEqual({});
  });
});
