import { describe, expect, test } from "vitest";
import { divided, folded, COUNTED, counted, RECEIVED } from "../testing/batches";
import { everIn, oddCount, oddLoss } from "./ask";

describe("a count", () => {
  const ever = 54;
  test.each([
    ["that the tray can hold is kept", { alive: 53, cells: 54, gaps: 1, ever }, null],
    ["of a tray without cells is kept", { alive: 53, cells: null, gaps: null, ever }, null],
    ["with more gaps than cells is asked about", { alive: 0, cells: 54, gaps: 55, ever }, "gaps"],
    ["above the cells is asked about", { alive: 55, cells: 54, gaps: null, ever: 60 }, "cells"],
    ["above all that came in is asked about", { alive: 55, cells: 60, gaps: 5, ever }, "ever"],
    [
      "that nothing is held against is kept",
      { alive: 99, cells: null, gaps: null, ever: null },
      null,
    ],
  ])("%s", (_, count, doubt) => {
    expect(oddCount(count)).toBe(doubt);
  });
});

describe("a loss", () => {
  test.each([
    ["of a tenth is kept", 5, 50, null],
    ["above a tenth is asked about", 6, 50, "much"],
    ["of more than live is asked about", 51, 50, "more"],
    ["from a tray that nobody counted is kept", 6, null, null],
  ])("%s", (_, count, alive, doubt) => {
    expect(oddLoss(count, alive)).toBe(doubt);
  });
});

describe("plants that ever came in", () => {
  const joined = divided(
    "joined",
    [{ id: "b-2", left: 0 }],
    [{ id: "b-1", label: "T1", count: 6 }],
  );
  test.each([
    ["are those of the first count", [RECEIVED, COUNTED, counted(3, 50)], 54],
    ["and those that joined them", [RECEIVED, COUNTED, joined], 60],
    ["are unknown where nobody counted", [RECEIVED], null],
    [
      "are unknown of an estimate",
      [RECEIVED, { kind: "counted", id: 2, body: { method: "estimate", alive: 50 } }],
      null,
    ],
    [
      "are unknown where seed still comes up",
      [
        { kind: "sown", body: { batch: { id: "b-1", label: "S1" }, seeds: 80 } },
        { kind: "emerged", id: 2, body: { total: 30 } },
      ],
      null,
    ],
  ])("%s", (_, given, ever) => {
    expect(everIn(folded("b-1", ...given))).toBe(ever);
  });

  test("are unknown of seed of which nothing is up", () => {
    const sown = { kind: "sown", body: { batch: { id: "b-1", label: "S1" }, seeds: 80 } };
    expect(everIn({ ...folded("b-1", sown), alive: 0 })).toBeNull();
  });
});
