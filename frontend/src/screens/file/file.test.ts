// @vitest-environment jsdom
import { beforeAll, expect, test } from "vitest";
import type { Happened, ReleaseFile, Week } from "../../net/file";
import { speech } from "../../parts/speech.svelte";
import { demandOf, monthOf, spanOf } from "./months";
import { acts, inOrder, sectionOf, SECTIONS } from "./sections";
import { columns, sums } from "./table";
import { reasons } from "./weeks";

beforeAll(async () => {
  await speech.speak("en");
  await speech.whole();
});

const happened = (kind: string, at: string, seq = 1): Happened => ({
  ...{ entry: `${kind}${at}`, seq, kind, at, about: ["b-1"], by: "p-1" },
  ...{ confirmed: true, corrected: false, body: {} },
});
const NOTHING = {
  ...{ arrivals: [], counts: [], losses: [], finds: [], samples: [], orders: [], treatments: [] },
  ...{ inspections: [], acceptances: [], notified: [], bag: [], ways: [], room: [] },
  ...{ not_done: [], exceptions: [], releases: [], visits: [], traps: [] },
} as unknown as ReleaseFile;

test("records of several lists stand in order of happening, then of the book", () => {
  const [a, b, c] = [
    happened("a", "2031-03-04"),
    happened("b", "2031-03-03", 9),
    happened("c", "2031-03-03", 2),
  ];
  expect(inOrder([a], [b, c]).map(({ kind }) => kind)).toEqual(["c", "b", "a"]);
});

test("the acts leave out daily work on the room", () => {
  const room = [happened("breached", "2031-08-13"), happened("dosed", "2031-08-12")];
  const orders = [happened("ordered", "2031-05-16")];
  expect(acts({ ...NOTHING, room, orders }).map(({ kind }) => kind)).toEqual([
    "ordered",
    "breached",
  ]);
});

test("each of the ten questions has a section, and no two share a name", () => {
  expect(SECTIONS).toHaveLength(10);
  expect(new Set(SECTIONS.map(({ name }) => name)).size).toBe(10);
  expect(sectionOf("looks")?.records).toBeUndefined();
  expect(sectionOf("nothing of ours")).toBeNull();
});

test("what plants left by is told only where some did", () => {
  const line = {
    ...{ in: 54, alive: 50, died: 3, culled: 0, sampled: 1, destroyed: 0 },
    stolen: 0,
  };
  const rest = { planted: 0, sent: 0, split: 0, joined: 0, mixed: 0, settled: 0, difference: 0 };
  const lines = [
    { ...line, ...rest, batches: ["b-1"] },
    { ...line, ...rest, mixed: -8, batches: ["b-2"] },
  ];
  expect(columns(lines).at(-1)).toBe("mixed");
  expect(columns(lines)).toHaveLength(7);
  expect(sums(lines)).toMatchObject({ in: 108, alive: 100, mixed: -8 });
});

test("a week that was not done says why, and for which batches where not for all", () => {
  const missing = (batch: string, why: string | null, accepted: string | null) => ({
    ...{ batch, why, accepted, entry: null },
  });
  const week = {
    batches: 2,
    not_done: [missing("b-1", "shut", "AC-5"), missing("b-2", "shut", "AC-5")],
  } as unknown as Week;
  const nameOf = (_: string, id: string): string => id.toUpperCase();
  expect(reasons(week, speech, nameOf)).toEqual(["room shut, accepted AC-5"]);
  const part = { ...week, not_done: [missing("b-2", null, null)] };
  expect(reasons(part, speech, nameOf)).toEqual(["nothing written: B-2"]);
});

test("a reading that went up and down says how far, one that stood still says it once", () => {
  const one = { month: "2031-03", place: "r-1", days: 1, readings: 2 };
  const said = (what: string, low: number, high: number): string =>
    spanOf({ ...one, what, low, high }, speech);
  expect(said("ph", 5.8, 6.4)).toBe("pH of the drain water: 5.8 to 6.4");
  expect(said("air_c", 21, 21)).toBe("air temperature: 21 °C");
  expect(monthOf(one.month, speech)).toBe("MAR 2031");
});

test.each([
  ["generations", "fly", 201, "degree-days of FLY, 201 wanted (CQ-118)"],
  ["qualifying_days", "air_c", 30, "days that count by air temperature, 30 wanted (CQ-118)"],
  ["qualifying_days", "air_c", null, "days that count by air temperature (CQ-118)"],
] as const)("what is asked of the warmth stands in words: %s of %s", (rule, of, wanted, told) => {
  const nameOf = (_: string, id: string): string => id.toUpperCase();
  const demand = { batches: ["b-1"], term: "t-1", source: "CQ-118", months: [] };
  expect(demandOf({ ...demand, rule, of, wanted }, speech, nameOf)).toBe(told);
});
