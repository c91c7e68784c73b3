import { expect, test } from "vitest";
import { entry } from "../testing/entries";
import { bagIn, keptFates, unseenOf, type Term } from "./bag";

const term = (since: string, fates: unknown, more: Partial<Term> = {}): Term => ({
  id: "t-1",
  rule: "kept_for_officer",
  says: { fates },
  since,
  ...more,
});
const DEAD = term("2031-01-01", ["died"]);
const NEWER = term("2031-04-01", ["died", "culled"], { id: "t-2" });

test.each<[string, Term[], string | null, string, string[]]>([
  ["no term keeps nothing", [], "2031-03-03", "2031-05-01", []],
  ["the term of the beginning holds", [DEAD], "2031-03-03", "2031-05-01", ["died"]],
  ["a newer one does not reach those inside", [DEAD, NEWER], "2031-03-03", "2031-05-01", ["died"]],
  [
    "unless it says so",
    [{ ...NEWER, reaches_running: true }, DEAD],
    "2031-03-03",
    "2031-05-01",
    ["died", "culled"],
  ],
  [
    "and then from its date",
    [DEAD, { ...NEWER, reaches_running: true }],
    "2031-03-03",
    "2031-03-05",
    ["died"],
  ],
  [
    "the newest holds where nobody knows the beginning",
    [NEWER, DEAD],
    null,
    "2031-05-01",
    ["died", "culled"],
  ],
  [
    "of one day the later by name",
    [term("2031-01-01", ["culled"], { id: "t-9" }), DEAD],
    null,
    "2031-05-01",
    ["culled"],
  ],
  [
    "another rule keeps nothing",
    [term("2031-01-01", ["died"], { rule: "listed" })],
    null,
    "2031-05-01",
    [],
  ],
  [
    "what is no fate is passed over",
    [term("2031-01-01", ["died", 3])],
    null,
    "2031-05-01",
    ["died"],
  ],
  ["a term without fates keeps nothing", [term("2031-01-01", undefined)], null, "2031-05-01", []],
])("%s", (_, terms, startedOn, today, fates) => {
  expect(keptFates(terms, startedOn, today)).toEqual(fates);
});

test("what was kept lies in the bag of the place where it was lost, until it is disposed of", () => {
  const told = [
    entry({
      id: 1,
      kind: "taken_on",
      body: { batch: { id: "b-1", label: "T1", place: "q-bench" }, alive: 54, method: "full" },
    }),
    entry({ id: 2, kind: "lost", body: { count: 4, fate: "died", kept: true } }),
    entry({ id: 3, kind: "lost", body: { count: 2, fate: "culled", kept: true } }),
    entry({ id: 4, kind: "lost", body: { count: 9, fate: "died" } }),
    entry({ id: 5, kind: "moved", body: { to: "shade-house" } }),
    entry({ id: 6, kind: "lost", body: { count: 1, fate: "died", kept: true } }),
  ];
  const gone = { what: "dead_plants", method: "burned", plants: [{ id: "b-1", count: 5 }] };
  const lies = (place: string, entries = told) => bagIn("b-1", entries, (one) => one === place);
  expect([lies("q-bench"), lies("shade-house"), lies("nowhere")]).toEqual([6, 1, 0]);
  expect(lies("q-bench", [...told, entry({ id: 7, kind: "disposed", body: gone })])).toBe(2);
  const before = entry({ id: 1, kind: "lost", body: { count: 1, fate: "died", kept: true } });
  expect(bagIn("b-1", [before], (place) => place === "")).toBe(1);
});

test("what the officer has not seen is what was put into the bag since", () => {
  const kept = (id: number, count: number, more = {}) =>
    entry({ id, kind: "lost", body: { count, fate: "died", kept: true }, ...more });
  const shown = (id: number, body: Record<string, unknown>) => entry({ id, kind: "shown", body });
  const seen = shown(3, { to: "P", plants: [{ id: "b-1", count: 4 }] });
  const thrown = entry({ id: 6, kind: "lost", body: { count: 5, fate: "died" } });
  expect(unseenOf("b-1", [kept(1, 4), kept(2, 9, { about: ["b-2"] })])).toBe(4);
  expect(unseenOf("b-1", [kept(1, 4), seen, kept(5, 2), thrown])).toBe(2);
  expect(unseenOf("b-1", [kept(1, 4), shown(3, {})])).toBe(4);
});
