import { expect, test } from "vitest";
import { keptFates, type Term } from "./bag";

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
