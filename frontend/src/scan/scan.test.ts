import { expect, test } from "vitest";
import { write } from "../log/codes";
import { drawnAs, placeShape, type Choice } from "./choice";
import { letterKeys, press, typable } from "./pad";
import { picked, scanned, typed, wantedOf, type Desk, type Verdict } from "./verdict";
import { inFrame, square } from "./watching";

const batch = (id: string, label: string): Choice => ({ id, label, kind: "batch" });
const place = (id: string, label: string): Choice => ({ id, label, kind: "place" });
const T3 = batch("b-t3", "T3");
const T5 = batch("b-t5", "T5");
const B8 = batch("b-b8", "B8");
const U = batch("u", "U");
const TWIN = batch("b-t5-again", "t 05");
const TR3 = place("terrace-3", "TR3");
const BENCH = place("q-bench-1", "Bench 1");

const any: Desk = { expect: null, choices: [T3, T5, B8, U], others: [TR3, BENCH] };
const t3: Desk = { ...any, expect: "b-t3" };
const codeOf = ({ kind, id }: Choice): string => write({ what: kind, id });

const SCANS: [string, string, Desk, Verdict][] = [
  ["any tray where any may come", codeOf(T5), any, { is: "found", id: "b-t5" }],
  ["the tray that must come", codeOf(T3), t3, { is: "found", id: "b-t3" }],
  ["another tray", codeOf(T5), t3, { is: "other", found: T5, may: true }],
  ["a place where a tray must come", codeOf(TR3), t3, { is: "other", found: TR3, may: false }],
  ["a place where any tray may come", codeOf(TR3), any, { is: "other", found: TR3, may: false }],
  ["a tray that this phone lacks", "LB/B-T99", any, { is: "stranger", what: "batch" }],
  ["a place that this phone lacks", "LP/NOWHERE", t3, { is: "stranger", what: "place" }],
  ["a place with a tray's id", "LP/B-T3", t3, { is: "stranger", what: "place" }],
  ["a code of something else", "https://example.invalid", t3, { is: "stranger", what: null }],
];

test.each(SCANS)("%s", (_, text, desk, verdict) => {
  expect(scanned(text, desk)).toEqual(verdict);
});

const TYPED: [string, string, Desk, Verdict][] = [
  ["a label that looks like no other", "t05", any, { is: "found", id: "b-t5" }],
  ["another than must come", "T5", t3, { is: "other", found: T5, may: true }],
  ["a label with a look-alike", "T3", any, { is: "which", choices: [T3, TR3] }],
  ["the look-alike", "TR3", t3, { is: "which", choices: [TR3, T3] }],
  ["a sign read for another", "88", any, { is: "nowhere", label: "88" }],
  ["a label that nobody has", "T9", any, { is: "nowhere", label: "T9" }],
  [
    "one label on two trays",
    "T5",
    { ...any, choices: [T3, T5, TWIN] },
    { is: "which", choices: [T5, TWIN] },
  ],
];

const RENAMED: Choice = { ...batch("b-t1", "T1B"), former: ["T1", "t 01"] };
const ALSO: Choice = { ...batch("b-t7", "T7"), former: ["T1"] };
const AGAIN = batch("b-new", "T1");
const TR1 = place("terrace-1", "TR1");
const old = (...choices: Choice[]): Desk => ({ ...any, choices: [...any.choices, ...choices] });

const OLD: [string, string, Desk, Verdict][] = [
  ["an old label", "t1", old(RENAMED), { is: "renamed", found: RENAMED, label: "t1" }],
  ["the new label", "T1B", old(RENAMED), { is: "found", id: "b-t1" }],
  [
    "an old label of two batches",
    "T1",
    old(RENAMED, ALSO),
    {
      is: "which",
      choices: [
        { ...RENAMED, was: "T1" },
        { ...ALSO, was: "T1" },
      ],
    },
  ],
  [
    "an old label that another batch bears now",
    "T1",
    old(AGAIN, RENAMED),
    { is: "which", choices: [AGAIN, { ...RENAMED, was: "T1" }] },
  ],
  [
    "an old label with a look-alike",
    "T1",
    { ...old(RENAMED), others: [TR1] },
    { is: "which", choices: [{ ...RENAMED, was: "T1" }, TR1] },
  ],
];

test.each(OLD)("typed: %s", (_, text, desk, verdict) => {
  expect(typed(text, desk)).toEqual(verdict);
});

test("one that was chosen by its old label is judged as itself", () => {
  expect(picked({ ...RENAMED, was: "T1" }, old(RENAMED))).toEqual({ is: "found", id: "b-t1" });
  expect(picked({ ...RENAMED, was: "T1" }, t3)).toMatchObject({ is: "other", may: false });
});

test.each(TYPED)("typed: %s", (_, text, desk, verdict) => {
  expect(typed(text, desk)).toEqual(verdict);
});

test("a look-alike that was chosen is judged like a scan", () => {
  expect(picked(T3, t3)).toEqual({ is: "found", id: "b-t3" });
  expect(picked(TR3, t3)).toEqual({ is: "other", found: TR3, may: false });
});

test("the one that must come is named even if it may not be chosen here", () => {
  expect(wantedOf(t3)).toBe(T3);
  expect(wantedOf({ expect: "b-t3", choices: [T5], others: [T3] })).toBe(T3);
  expect([wantedOf(any), wantedOf({ ...any, expect: "gone" })]).toEqual([null, null]);
});

test("without a shape a batch is drawn as a tray and a place as a stair", () => {
  const shapes = [T3, TR3, { ...U, shape: "mixed" } as const].map(drawnAs);
  expect(shapes).toEqual(["tray", "stair", "mixed"]);
});

test.each([
  ["terrace", "stair"],
  ["bench", "bench"],
  ["trap", "trap"],
  ["room", "house"],
  [undefined, "house"],
])("a %s is drawn as a %s", (kind, shape) => {
  expect(placeShape(kind)).toBe(shape);
});

const KEYS: [string[], string[]][] = [
  [
    ["T1", "T2", "TR3", "U", "OC1"],
    ["OC", "T", "TR", "U"],
  ],
  [
    ["T5B", "T5"],
    ["B", "T"],
  ],
  [["7", "12"], []],
  [
    ["AA1", "AB1", "AC1", "AD1", "AE1", "AF1", "AG1", "AH1", "AI1", "AJ1"],
    ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J"],
  ],
];

test.each(KEYS)("of the labels %j the letter keys are %j", (labels, keys) => {
  expect(letterKeys(labels)).toEqual(keys);
});

test.each([
  ["TR3", true],
  ["t 03", true],
  ["Bench 1", false],
  ["door", false],
])("whether %s is typed on a pad: %j", (label, wanted) => {
  expect(typable(label)).toBe(wanted);
});

test("a pad takes no more than a label can be long", () => {
  const long = Array.from({ length: 24 }, () => "1");
  expect(press(long, "2")).toBe(long);
  expect(press(["T"], "3")).toEqual(["T", "3"]);
});

const at = (text: string, x: number, y: number) => ({ text, x, y });

test.each([
  ["nothing", [], { is: "nothing" }],
  ["a label", [at("a", 0.5, 0.5)], { is: "one", text: "a" }],
  ["a label at the edge", [at("a", 0.02, 0.5)], { is: "nothing" }],
  ["a neighbour at the edge", [at("a", 0.4, 0.5), at("b", 0.97, 0.5)], { is: "one", text: "a" }],
  ["two labels", [at("a", 0.3, 0.5), at("b", 0.7, 0.5)], { is: "two" }],
  ["both labels of one tray", [at("a", 0.3, 0.5), at("a", 0.7, 0.5)], { is: "one", text: "a" }],
])("in the frame: %s", (_, seen, frame) => {
  expect(inFrame(seen)).toEqual(frame);
});

test("what is read is the middle square that is shown", () => {
  expect(square(1280, 720)).toEqual({ x: 280, y: 0, from: 720, to: 720 });
  expect(square(1080, 1920)).toEqual({ x: 0, y: 420, from: 1080, to: 1080 });
  expect(square(4000, 3000)).toEqual({ x: 500, y: 0, from: 3000, to: 1080 });
});
