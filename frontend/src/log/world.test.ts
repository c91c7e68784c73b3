import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { entry, instant, type Raw } from "../testing/entries";
import { read, type Instant } from "./entry";
import { worldOf, type Rows } from "../testing/world";
import type { Told } from "./world";

interface Asked {
  act: string;
  subject: string;
  person: string;
  now: Instant;
  written: number;
  office: { answer: string; reason: string; opens_at: string | null };
  phone: string;
}

interface Scene {
  name: string;
  rows: Rows;
  entries: unknown[];
  shipped: Told;
  asked: Asked[];
}

const SCENES = JSON.parse(readFileSync("../tests/vectors/gates.json", "utf8")) as Scene[];

describe("what the office answers, this phone answers, or is more careful", () => {
  for (const { name, rows, entries, shipped, asked } of SCENES) {
    const told = entries.map(read).filter((one) => one !== null);
    test.each(asked)(`${name}: $act $subject at $now`, (one) => {
      const world = worldOf(rows, told.slice(0, one.written), shipped, one.now);
      const said = world.mayI(one.act, one.subject, one.person);
      expect(said.answer).toBe(one.phone);
      if (one.phone === one.office.answer) expect(said.opensAt).toBe(one.office.opens_at);
      if (one.phone === "no" && one.office.answer === "no" && said.reason !== "held_here") {
        expect(said.reason).toBe(one.office.reason);
      }
    });
  }
});

const ROWS: Rows = [
  { type: "place", id: "n", body: { kind: "nursery" } },
  { type: "place", id: "q", body: { kind: "room", parent: "n" } },
  { type: "place", id: "bench", body: { kind: "bench", parent: "q" } },
  { type: "place", id: "shade", body: { kind: "house", parent: "n" } },
];
const at = (minute: number) => instant(minute) as Instant;
const stands = (id: number, batch: string, place?: string): Raw => ({
  id,
  at: 0,
  kind: "received",
  body: {
    consignment: "c",
    batches: [{ id: batch, label: batch }],
    ...(place === undefined ? {} : { place }),
  },
  about: [batch],
});
const STOCK = [stands(1, "b-1", "bench"), stands(2, "b-2", "bench"), stands(3, "b-3", "shade")];
const FIND: Raw = { id: 9, kind: "found", body: { suspicion: true }, about: ["b-1"] };
const NOTHING: Told = { batches: {}, places: {}, incidents: [] };
const here = (told: Told | null, ...more: Raw[]) =>
  worldOf(ROWS, [...STOCK, ...more].map(entry), told, at(60));

describe("what holds", () => {
  const hold = {
    by: "find",
    reference: entry(FIND).id,
    orders: [],
    since: at(9),
    here: true,
    batches: ["b-1", "b-2"],
    people: ["p-2"],
  };
  const inside: Raw = { id: 4, kind: "entered", body: {}, about: ["q"], author: "p-2" };

  test("is a find of this phone, for all plants of its room and with who was inside", () => {
    const world = here(NOTHING, inside, FIND);
    expect(world.holds(["q"])).toEqual([hold]);
    expect(world.holds(["b-2"])).toEqual([{ ...hold, batches: ["b-2"] }]);
    expect(world.holds(["b-3"])).toEqual([]);
    expect([world.isHeld("b-2"), world.isHeld("b-3")]).toEqual([true, false]);
    expect(world.hereOf(hold.reference)).toMatchObject({ room: "q", people: ["p-2"] });
    expect(world.hereOf("another")).toBeNull();
  });

  test("is what the office says, once it knows of the find", () => {
    const held = [
      { by: "find", reference: hold.reference, since: at(9), provisional: true, orders: ["Q-1"] },
    ];
    const told = {
      ...NOTHING,
      batches: { "b-1": { held, gates: [] } },
      incidents: [{ id: hold.reference }],
    };
    const order: Raw = { id: 12, kind: "ordered", body: { act: "hold", reference: "Q-1" } };
    const world = here(told, FIND, order);
    expect(world.holds(["q"])).toMatchObject([{ here: false, orders: ["Q-1"], batches: ["b-1"] }]);
    expect(world.hereOf(hold.reference)).toBeNull();
  });

  test("is an order that this phone read and the office has not said yet, the oldest first", () => {
    const order: Raw = { id: 5, kind: "ordered", body: { act: "hold", reference: "Q-1" } };
    const held = [{ by: "breach", reference: "x", since: at(7), provisional: true }];
    const told = { ...NOTHING, batches: { "b-1": { held, gates: [] } } };
    expect(here(told, order, FIND).holds(["b-1"])).toMatchObject([
      { by: "order", reference: "Q-1", since: at(5), here: false, orders: [] },
      { by: "breach", reference: "x", orders: [] },
      { by: "find", here: true },
    ]);
  });

  test("is nothing of a batch that is closed, unless it is asked for itself", () => {
    const gone: Raw[] = [
      { id: 5, kind: "counted", body: { method: "full", alive: 2 } },
      { id: 6, kind: "lost", body: { count: 2, fate: "died" } },
    ];
    expect(here(NOTHING, ...gone).batchesOf(["q"])).toEqual(["b-2"]);
    expect(here(NOTHING, ...gone).batchesOf(["b-1"])).toEqual(["b-1"]);
  });
});

describe("a room is shut", () => {
  const treated = (until: string | null, about = "bench"): Raw => ({
    id: 8,
    kind: "treated",
    body: {
      product: "oil",
      started_at: at(5),
      ended_at: at(8),
      ...(until === null ? {} : { reentry_until: until }),
    },
    about: [about],
  });

  test.each([
    ["until its hour", at(90), [{ room: "q", until: at(90), unknown: false }]],
    ["until somebody writes the hour", null, [{ room: "q", until: null, unknown: true }]],
    ["no more after its hour", at(60), []],
  ])("%s", (_, until, shut) => {
    expect(here(NOTHING, treated(until)).shut(["b-1", "bench", "b-3"])).toEqual(shut);
  });

  test("where treated plants stand; those that stand nowhere shut none, and hide no others", () => {
    const nowhere = [stands(4, "b-4"), treated(at(95), "b-4")];
    const world = here(NOTHING, ...nowhere, { ...treated(at(90), "b-3"), id: 21 });
    expect(world.shut(["q", "shade", "b-4"])).toEqual([
      { room: "shade", until: at(90), unknown: false },
    ]);
  });

  test("until the later of what is written here and what the office says", () => {
    const entering = {
      ...{ answer: "yes" as const, reason: "free_to_enter", params: {} },
      ...{ opens: null, opens_at: null, valid_until: at(99) },
    };
    const place = (until: Instant) => ({ entering, people: {}, reentry_until: until });
    const later = { ...NOTHING, places: { q: place(at(95)) } };
    expect(here(later, treated(at(90))).shutOf("q").until).toBe(at(95));
    const sooner = { ...NOTHING, places: { q: place(at(80)) } };
    expect(here(sooner, treated(at(90))).shutOf("q").until).toBe(at(90));
  });

  test("for everybody where the clock is not known", () => {
    const world = worldOf(ROWS, [...STOCK, treated(at(20))].map(entry), NOTHING, null);
    expect(world.shut(["q"])).toHaveLength(1);
    expect(world.mayI("moving", "b-1", null)).toMatchObject({ answer: "cannot_tell" });
  });
});

test("before the office was ever heard nothing can be told, and going out is free", () => {
  const world = here(null);
  expect(world.mayI("moving", "b-1", "p-1").reason).toBe("not_told");
  expect(world.mayI("entering", "q", null).reason).toBe("not_told");
  expect(world.mayI("leaving", "q", null).answer).toBe("yes");
  expect(world.holds(["q"])).toEqual([]);
});

test("a batch that stands nowhere is in no room", () => {
  const world = worldOf(ROWS, [entry(stands(1, "b-1"))], NOTHING, at(60));
  expect(world.roomOf("b-1")).toBeNull();
  expect(world.shut(["b-1"])).toEqual([]);
  for (const act of ["releasing", "moving"]) {
    expect(world.mayI(act, "b-1", null).reason).toBe("not_told");
  }
});

test("what holds a batch that this phone does not have is the office's word alone", () => {
  const held = [{ by: "order", reference: "Q-1", since: at(1), provisional: false }];
  const told = { ...NOTHING, batches: { "b-9": { held, gates: [] } } };
  expect(here(told).holdsOf("b-9")).toMatchObject([{ reference: "Q-1" }]);
  expect(here(NOTHING).holdsOf("b-9")).toEqual([]);
});

test("a batch that stands nowhere is in no place", () => {
  const world = worldOf(ROWS, [entry(stands(1, "b-1"))], NOTHING, at(60));
  expect(world.batchesOf(["q"])).toEqual([]);
});

test("what was said of one person is nobody else's answer", () => {
  const row = {
    ...{ reason: "x", params: {}, opens: null, opens_at: null, valid_until: at(99) },
  };
  const told = {
    ...NOTHING,
    places: {
      q: {
        entering: { ...row, answer: "no" as const },
        people: { "p-1": { ...row, answer: "yes" as const } },
        reentry_until: null,
      },
    },
  };
  const world = here(told);
  expect(["p-1", "p-2", null].map((who) => world.mayI("entering", "q", who).answer)).toEqual([
    "yes",
    "no",
    "no",
  ]);
});

test("what is done to a room as such is answered by what the office said of it", () => {
  const row = {
    ...{ answer: "wait" as const, reason: "stays_empty", params: {}, opens: null },
    ...{ opens_at: null, valid_until: at(600) },
  };
  const accepting = { ...row, act: "accepting", override_allowed: true };
  const told = {
    ...NOTHING,
    places: { q: { entering: row, accepting, people: {}, reentry_until: null } },
  };
  const world = here(told);
  expect(world.mayI("accepting", "q", "p-1").reason).toBe("stays_empty");
  expect(world.toldOf("accepting", "q")?.override_allowed).toBe(true);
  expect(world.mayI("emptying", "q", "p-1").reason).toBe("not_told");
  expect(world.mayI("moving", "q", "p-1").reason).toBe("not_told");
});

test("a plant of which nothing is known yet cannot be told of", () => {
  expect(here(NOTHING).mayI("potting", "b-9", null).answer).toBe("cannot_tell");
});
