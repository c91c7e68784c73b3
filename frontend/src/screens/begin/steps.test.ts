import { expect, test } from "vitest";
import { newId } from "../people/people";
import { seats } from "./places";
import {
  after,
  callsOf,
  firstOpen,
  isDone,
  isStep,
  mayOpen,
  STEPS,
  UNSAID,
  type Facts,
} from "./steps";

const NOTHING: Facts = {
  ...{ benches: 0, people: [], phones: 0, batches: 0, backedUp: false, card: false },
};
const pinned = (id: string): Facts["people"][number] => ({
  id,
  rev: 1,
  body: { name: id, role: "worker", language: "en", pin_hash: "aa" },
});

test("before there is a nursery the form itself says how far it is", () => {
  expect(firstOpen(UNSAID, null)).toBe("language");
  const spoken = { ...UNSAID, language: "es" };
  expect(firstOpen(spoken, null)).toBe("place");
  const placed = { ...spoken, name: "Vivero", zone: "America/Lima" };
  expect(firstOpen(placed, null)).toBe("conditions");
  expect(firstOpen({ ...placed, conditions: false }, null)).toBe("grower");
});

const FACTS: [string, Partial<Facts>][] = [
  ["bench", { benches: 1 }],
  ["people", { people: [pinned("p-a"), pinned("p-b")] }],
  ["phone", { phones: 1 }],
  ["try", { batches: 1 }],
  ["backup", { backedUp: true }],
  ["card", { card: true }],
];

test("afterwards each step is done by what it left behind, in any order", () => {
  for (const [step, left] of FACTS) {
    for (const other of STEPS.slice(4)) {
      expect(isDone(other, UNSAID, { ...NOTHING, ...left })).toBe(other === step);
    }
  }
  expect(firstOpen(UNSAID, NOTHING)).toBe("bench");
  const all = Object.assign({}, NOTHING, ...FACTS.map(([, left]) => left)) as Facts;
  expect(firstOpen(UNSAID, all)).toBeNull();
});

test("one person with a PIN is not two", () => {
  const body = { name: "b", role: "worker", language: "en" };
  const people = [pinned("p-a"), { id: "p-b", rev: 1, body }];
  expect(isDone("people", UNSAID, { ...NOTHING, people })).toBe(false);
});

test("steps follow each other, and each opens on its own side of the beginning", () => {
  const walked = [STEPS[0], ...STEPS.map(after)].filter((step) => step !== null);
  expect(walked).toEqual([...STEPS]);
  expect(STEPS.filter((step) => mayOpen(step, false))).toEqual(STEPS.slice(0, 4));
  expect(STEPS.filter((step) => mayOpen(step, true))).toEqual(STEPS.slice(4));
  expect([isStep("bench"), isStep("toString"), isStep("")]).toEqual([true, false, false]);
});

test("the card keeps the lines that have a number, and whom it knows by code", () => {
  const lines = [
    { what: " Ambulance ", number: " 0550 3 " },
    { what: "Electrician", number: "  " },
    { what: "", number: "0550" },
    { what: "Poison centre", number: "0550 77", who: "night desk" },
  ];
  expect(callsOf(lines, new Map([["Ambulance", "ambulance"]]))).toEqual([
    { what: "ambulance", number: "0550 3", who: null },
    { what: "Poison centre", number: "0550 77", who: "night desk" },
  ]);
});

test("the first places hang from each other, and the nursery itself is made once", () => {
  const wanted = { nursery: "Vivero", kind: "block", room: "Open", bench: "Bed 1", since: "x" } as const; // prettier-ignore
  const made = (taken: readonly string[]) =>
    seats(wanted, taken, (name, more) => newId("l", name, [...taken, ...more]));
  expect(made([]).map(({ id, body }) => [id, body["kind"], body["parent"]])).toEqual([
    ["site", "nursery", null],
    ["l-open", "block", "site"],
    ["l-open-bed-1", "bed", "l-open"],
  ]);
  expect(made(["site", "l-open"]).map(({ id }) => id)).toEqual(["l-open-2", "l-open-bed-1"]);
  const room = seats({ ...wanted, kind: "room" }, ["site"], (name) => name);
  expect(room.map(({ body }) => body["kind"])).toEqual(["room", "bench"]);
});
