import { describe, expect, it } from "vitest";
import { BATCH, groupsOf, MANY, SCRIPT, type Modules } from "./first-route.ts";

type Graph = Record<string, { now?: string[]; later?: string[] }>;

function modules(graph: Graph): Modules {
  return {
    getModuleInfo: (id) => {
      const { now = [], later = [] } = graph[id] ?? {};
      return id in graph ? { importedIds: now, dynamicallyImportedIds: later } : null;
    },
  };
}

/** So many sheets that all need these modules. */
function sheets(many: number, ...now: string[]): Graph {
  return Object.fromEntries(Array.from({ length: many }, (_, n) => [`sheet-${n}`, { now }]));
}

describe("the files of the build", () => {
  const others = sheets(MANY - 1, "common", "few", "screen");
  const graph: Graph = {
    ...others,
    [SCRIPT]: { now: ["screen"], later: [BATCH, ...Object.keys(others), "alone"] },
    [BATCH]: { now: ["common", "own", "screen"] },
    alone: { now: ["lonely"] },
    common: { now: ["under"] },
    screen: { later: ["asked"] },
    asked: { now: ["few"] },
    ...Object.fromEntries(["own", "under", "few", "lonely"].map((id) => [id, {}])),
  };
  const groups = groupsOf(modules(graph));

  it.each([
    ["what the page imports at once", "screen", "first"],
    ["the page's script", SCRIPT, "first"],
    ["what many sheets need, a batch's among them", "common", "parts"],
    ["what that rests on", "under", "parts"],
    ["what many sheets need, one of them asked for by the first screen", "few", "parts"],
    ["a batch's sheet", BATCH, "batch"],
    ["what a batch's sheet alone needs", "own", "batch"],
    ["another sheet", "sheet-0", undefined],
    ["what another sheet alone needs", "lonely", undefined],
  ])("%s", (_, id, file) => {
    expect(groups.get(id)).toBe(file);
  });

  it("leaves to the build what one sheet fewer needs", () => {
    const fewer = { ...graph, asked: { now: [] } };
    expect(groupsOf(modules(fewer)).get("few")).toBeUndefined();
  });

  it("fails where the sheet of a batch lies elsewhere", () => {
    const moved: Graph = { [SCRIPT]: { later: ["elsewhere"] }, elsewhere: { now: ["own"] } };
    expect(() => groupsOf(modules(moved))).toThrow("No sheet of a batch");
  });
});
