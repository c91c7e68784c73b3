// @vitest-environment jsdom
import { beforeAll, expect, test } from "vitest";
import type { Reading } from "../../log/history";
import { speech } from "../../parts/speech.svelte";
import { routeOf, toBatch } from "../route.svelte";
import { behind, byDay, isCount, kindOf, lineOf } from "./lines";

beforeAll(async () => {
  await speech.speak("en");
});

const reading = (kind: string, body: object = {}): Reading => ({
  id: "x",
  kind,
  occurredAt: "2031-05-04T08:00:00.000Z",
  author: "p-1",
  confirmed: true,
  unread: false,
  body: { ...body },
});
const nameOf = (type: string, id: string) => `${type} named ${id}`;

test.each([
  ["received", { stated: 324 }, "324 plants on the paper"],
  ["received", {}, ""],
  ["taken_on", { alive: 1 }, "1 plant stood here"],
  ["counted", { alive: 53, method: "cells_less_gaps" }, "53 plants counted, cells less gaps"],
  ["lost", { count: 2, fate: "died", cause: "stem rot" }, "2 dead: stem rot"],
  ["lost", { count: 1, fate: "sampled" }, "1 sampled"],
  [
    "looked",
    { answer: "nothing", plants: 54, minutes: 6.6 },
    "looked, nothing found, 54 plants, 7 min",
  ],
  ["looked", { answer: "not_looked", why: "power cut" }, "not looked: power cut"],
  ["inspected", { answer: "nothing", plants: 251 }, "looked, nothing found, 251 plants"],
  ["moved", { to: "r-1" }, "to place named r-1"],
  ["mixed", { children: [{ label: "U" }, {}] }, "into U and ?"],
  ["sampled", { sample: "S-03" }, "S-03"],
  ["resulted", { sample: "S-03", verdict: "confirmed" }, "S-03, confirmed"],
  ["treated", { product: "soap" }, "soap"],
  ["ordered", { reference: "Q-09", act: "hold" }, "Q-09: hold"],
  ["released", { notice: "RN-204", count: 241 }, "RN-204, 241 plants"],
  ["noted", { text: "wet corner" }, "wet corner"],
  ["relabelled", { old: "T1", new: "T8" }, "T1 → T8"],
  ["skipped", { reason: "screen replaced" }, "screen replaced"],
  ["unheard_of", { secret: 1 }, ""],
])("a record of %s with %j says %j", (kind, body, said) => {
  expect(lineOf(reading(kind, body), speech, nameOf)).toBe(said);
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
  const line = (occurredAt: string) => ({
    reading: { ...reading("counted", { method: "full" }), occurredAt },
    older: [],
    withdrawn: false,
  });
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
  ["", { sheet: "stock" }],
  ["#/looks", { sheet: "looks" }],
  ["#/batch/b%201", { sheet: "batch", id: "b 1", term: null }],
  ["#/batch/b-1/died", { sheet: "batch", id: "b-1", term: "died" }],
  ["#/batch/%", { sheet: "batch", id: "%", term: null }],
  ["#/elsewhere", { sheet: "none" }],
])("%j opens %j", (hash, route) => {
  expect(routeOf(hash)).toEqual(route);
});

test("a link leads back to what it was made from", () => {
  expect(routeOf(toBatch("b/1", "died"))).toEqual({ sheet: "batch", id: "b/1", term: "died" });
});
