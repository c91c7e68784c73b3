import { describe, expect, test } from "vitest";
import { aliveOf, blank, bodyOf, by, filled, oddOf, type Typed } from "./counting";

const tray = (more: Partial<Typed> = {}): Typed => ({ ...blank(54), ...more });

describe("a count in its form", () => {
  test.each<[string, Typed, number | null]>([
    ["of a tray is its cells less the gaps", tray({ gaps: "2" }), 52],
    ["is none before a gap is typed: a blank is no zero", tray(), null],
    ["with no gap is the whole tray", tray({ gaps: "0" }), 54],
    [
      "of a tray of which nobody knows the cells waits for them",
      tray({ cells: "", gaps: "1" }),
      null,
    ],
    ["with more gaps than cells is below zero", tray({ gaps: "60" }), -6],
    ["in full is what is typed", { ...blank(null), alive: "52" }, 52],
    ["in full is none before it is typed", blank(null), null],
  ])("%s", (_, typed, alive) => {
    expect(aliveOf(typed)).toBe(alive);
  });

  test("begins with the gaps where the cells are known, else with the whole count", () => {
    expect(blank(54)).toMatchObject({ method: "cells_less_gaps", at: "gaps", cells: "54" });
    expect(blank(null)).toMatchObject({ method: "full", at: "alive" });
  });

  test("opens again as it was kept", () => {
    const kept = { method: "cells_less_gaps", alive: 52, cells: 54, gaps: 2 } as const;
    expect(bodyOf(filled(kept))).toEqual(kept);
    expect(bodyOf(filled({ method: "full", alive: 52 }))).toEqual({ method: "full", alive: 52 });
  });

  test("keeps what was typed when the method changes", () => {
    expect(by("full", tray({ gaps: "2" }))).toEqual({ method: "full", at: "alive" });
    expect(by("cells_less_gaps", tray())).toEqual({ method: "cells_less_gaps", at: "gaps" });
    expect(by("cells_less_gaps", blank(null))).toMatchObject({ at: "cells" });
  });

  test("is no record before there is a figure, nor below zero", () => {
    expect([bodyOf(tray()), bodyOf(tray({ gaps: "60" }))]).toEqual([null, null]);
  });

  test.each<[string, Typed, string | null]>([
    ["more gaps than cells", tray({ gaps: "55" }), "gaps"],
    ["more plants than cells", { ...tray(), method: "full", alive: "58" }, "cells"],
    ["more than ever came in", tray({ cells: "60", gaps: "1" }), "ever"],
    ["an estimate is held to nothing", { ...tray(), method: "estimate", alive: "99" }, null],
    ["nothing is typed yet", tray(), null],
    ["all fits", tray({ gaps: "1" }), null],
  ])("is asked about: %s", (_, typed, odd) => {
    expect(oddOf(typed, 54, 54)).toBe(odd);
  });
});
