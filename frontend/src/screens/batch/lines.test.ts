// @vitest-environment jsdom
import { beforeAll, expect, test } from "vitest";
import { speech } from "../../parts/speech.svelte";
import { line as lineFor, reading } from "../../testing/lines";
import { routeOf, toBatch } from "../route.svelte";
import { behind, byDay, firstOf, isCount, kindOf, lineOf } from "./lines";

beforeAll(async () => {
  await speech.speak("en");
});

const nameOf = (type: string, id: string) => `${type} named ${id}`;
const said = (kind: string, body: object) => lineOf(reading(kind, body), "b-4", speech, nameOf);

const TRAYS = [
  { id: "b-3", label: "T3", stated: 50 },
  { id: "b-4", label: "T4", stated: 54, cells: 60 },
];
const SHARES = [
  { id: "b-4", count: 4 },
  { id: "b-6", count: 3 },
];
test.each([
  [
    "received",
    { consignment: "c-1", stated: 324, batches: TRAYS, certificate: "PC-1" },
    "54 plants on the paper, 60 cells; " +
      "consignment consignment named c-1: 324 plants on the paper, certificate PC-1",
  ],
  [
    "received",
    { consignment: "c-1", stated: 324, batches: TRAYS.slice(0, 1) },
    "consignment consignment named c-1: 324 plants on the paper",
  ],
  ["received", {}, ""],
  ["taken_on", { alive: 1, method: "full" }, "1 plant stood here, full count"],
  ["counted", { alive: 53, method: "cells_less_gaps" }, "53 plants counted, cells less gaps"],
  ["lost", { count: 2, fate: "died", cause: "stem rot" }, "2 dead: stem rot"],
  ["lost", { count: 4, fate: "died", kept: true }, "4 dead, kept for the officer"],
  [
    "looked",
    {
      answer: "nothing",
      plants: 54,
      minutes: 6.6,
      checklist: "weekly",
      items: [
        { item: "above", answer: "nothing", plants: 54 },
        { item: "lens", answer: "nothing", plants: 3 },
        { item: "stem", answer: "found", plants: 54 },
      ],
    },
    "looked, nothing found, 54 plants, 7 min; item named weekly/lens: 3 plants; " +
      "item named weekly/stem: looked, found, 54 plants",
  ],
  ["looked", { answer: "not_looked", why: "power cut" }, "not looked: power cut"],
  ["inspected", { answer: "nothing", plants: 251 }, "looked, nothing found, 251 plants"],
  [
    "found",
    { suspicion: true, pest: "x", tag: "T4-17", plants: 1, per_leaf: 9, photos: ["a", "b"] },
    "suspicion, pest named x, T4-17, 1 plant, 9 per leaf, 2 photos",
  ],
  ["moved", { to: "r-1" }, "to place named r-1"],
  [
    "mixed",
    { parents: [{ id: "b-1", left: 46 }], children: [{ label: "U", count: 8 }, {}] },
    "into U (8 plants) and ?, 46 left in batch named b-1",
  ],
  [
    "sampled",
    { sample: "S-03", plants: 1, whole: true, laboratory: "Lab", found: "id" },
    "S-03, 1 whole plant, to Lab, for the find",
  ],
  ["resulted", { sample: "S-03", verdict: "confirmed" }, "S-03, confirmed"],
  ["shown", { to: "Ola", plants: SHARES }, "4 of batch named b-4, 3 of batch named b-6, to Ola"],
  [
    "disposed",
    { what: "dead", method: "burned", kg: 14.2, witness: "Ola", plants: [SHARES[0]] },
    "dead, 4 plants, 14.2 kg, burned, witness Ola",
  ],
  [
    "told",
    { who: "Service", how: "telephone", what: "suspicion in T4", reference: "EM-77" },
    "Service (telephone): suspicion in T4, reference EM-77",
  ],
  [
    "treated",
    {
      product: "soap",
      started_at: "2031-05-04T06:30:00.000Z",
      ended_at: "2031-05-04T07:55:00.000Z",
    },
    "soap, SUN 4 MAY 06:30 → 07:55, 1 h 25 min",
  ],
  [
    "ordered",
    { reference: "Q-09", act: "hold", admits: ["p"] },
    "Q-09: hold, only person named p may go in",
  ],
  ["ordered", { reference: "Q-9", act: "lift", lifts: "Q-8" }, "Q-9: lift the hold, lifts Q-8"],
  [
    "ordered",
    { reference: "Q-9", act: "lift", lifts: "01c2ab52-9800-700c-82f6-382b75066a43" },
    "Q-9: lift the hold, lifts a find",
  ],
  ["released", { notice: "RN-204", count: 241 }, "RN-204, 241 plants"],
  [
    "entered",
    { visitor: { name: "Ola", firm: "Service" }, purpose: "arrival", hygiene: ["hands"] },
    "Ola, Service: arrival, hands",
  ],
  ["trapped", { answer: "read" }, "nothing caught"],
  ["trapped", { answer: "not_readable", why: "wet", replaced: true }, "not readable: wet, changed"],
  [
    "read",
    {
      readings: [
        { what: "ph", value: 6.1 },
        { what: "new_one", value: 2 },
      ],
    },
    "pH 6.1, new one: 2",
  ],
  [
    "settled",
    { doubt: "difference:x", reason: "found it", plants: 1, fate: "died" },
    "difference: 1 dead, found it",
  ],
  ["noted", { text: "wet corner" }, "wet corner"],
  ["relabelled", { old: "T1", new: "T8" }, "T1 → T8"],
  ["skipped", { check: "trap-0f", reason: "wasps" }, "read the trap: wasps"],
  ["unheard_of", { secret: 1 }, ""],
])("a record of %s with %j says %j", (kind, body, words) => {
  expect(said(kind, body)).toBe(words);
});

test("a kind of a newer version has a name that people can read", () => {
  expect([kindOf(reading("lost"), speech), kindOf(reading("unheard_of"), speech)]).toEqual([
    "loss",
    "record of a newer version",
  ]);
});

test.each([
  ["alive", "counted", {}, true],
  ["alive", "lost", { fate: "died" }, false],
  ["died", "lost", { fate: "died" }, true],
  ["died", "lost", { fate: "culled" }, false],
  ["mixed", "mixed", {}, true],
  [null, "noted", {}, true],
])("behind the term %s stands %s %j: %s", (term, kind, body, stands) => {
  expect(behind(reading(kind, body), term)).toBe(stands);
});

test("lines are told by the nursery's day", () => {
  const line = (occurredAt: string) =>
    lineFor(reading("counted", { method: "full" }, { occurredAt }));
  const lines = [
    line("2031-05-04T15:00:00.000Z"),
    line("2031-05-04T13:00:00.000Z"),
    line("2031-05-03T15:00:00.000Z"),
  ];
  expect(byDay(lines, "Etc/GMT-10").map(([day, list]) => [day, list.length])).toEqual([
    ["2031-05-05", 1],
    ["2031-05-04", 2],
  ]);
  expect(lines.map(isCount)).toEqual([true, true, true]);
});

test.each([
  [0, []],
  [1, [["b", 1]]],
  [
    2,
    [
      ["b", 1],
      ["a", 1],
    ],
  ],
  [
    9,
    [
      ["b", 1],
      ["a", 2],
    ],
  ],
])("of a long book the first %i lines are shown, on their days", (most, shown) => {
  const line = lineFor(reading("counted", { method: "full" }));
  const days = firstOf(
    [
      ["b", [line]],
      ["a", [line, line]],
    ],
    most,
  );
  expect(days.map(([day, list]) => [day, list.length])).toEqual(shown);
});

test.each([
  ["", ["", "", ""]],
  ["#/looks", ["looks", "", ""]],
  ["#/batch/b%201", ["batch", "b 1", ""]],
  ["#/batch/b-1/died", ["batch", "b-1", "died"]],
  ["#/batch/%", ["batch", "%", ""]],
])("%j opens %j", (hash, [sheet, id, term]) => {
  expect(routeOf(hash)).toEqual({ sheet, id, term });
});

test("a link leads back to what it was made from", () => {
  expect(routeOf(toBatch("b/1", "died"))).toEqual({ sheet: "batch", id: "b/1", term: "died" });
});
