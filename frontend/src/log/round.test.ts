import { describe, expect, test } from "vitest";
import { entry, instant, type Raw } from "../testing/entries";
import type { Entry, Instant } from "./entry";
import { lately } from "./lately";
import {
  byLabel,
  isQuick,
  NOWHERE,
  roundOf,
  type Due,
  type Looked,
  type Seen,
  type Walk,
} from "./round";
import { Seats, type Seat } from "./seats";
import vectors from "../../../tests/vectors/round-order.json";

const at = (minute: number) => instant(minute) as Instant;
const place = (id: string, kind: string, parent: string | null, walk?: number, more = {}) => ({
  id,
  body: { kind, parent, ...(walk === undefined ? {} : { walk }), ...more },
});
const SEATS = new Seats([
  place("n", "nursery", null),
  place("shade", "house", "n", 2),
  place("q", "room", "n", 1),
  place("bench-1", "bench", "q", 1),
  place("bench-2", "bench", "q", 2),
  place("trap-b", "trap", "q", 12),
  place("trap-a", "trap", "q", 11),
  place("trap-old", "trap", "q", 10, { until: "2031-03-03" }),
  place("open", "block", "n", 3),
]);
const due = (subject: string, more: Partial<Due> = {}): Due => ({
  id: `look-${subject}`,
  kind: "look_over",
  subject,
  opens_at: at(0),
  due_by: at(600),
  answered_by: null,
  skipped_by: null,
  ...more,
});
const walk = (checks: Due[], more: Partial<Walk> = {}): Walk => ({
  now: at(100),
  from: at(60),
  until: at(1000),
  seats: SEATS,
  checks,
  isHeld: () => false,
  ...more,
});
const batch = (id: string, seat: string | null, more: Partial<Looked> = {}): Looked => ({
  id,
  label: id.toUpperCase(),
  place: seat,
  alive: 50,
  closed: false,
  finds: [],
  one_of_parents: false,
  lately: lately([]),
  ...more,
});
const looked = (minute: number, answer = "nothing", more: object = {}): Entry =>
  entry({ id: minute, kind: "looked", body: { answer, ...more }, about: ["x"] });
const seen = (...entries: Entry[]) => ({ lately: lately(entries) });
const NO_PLACES = new Map<string, Seen>();
const ids = (turns: readonly { id: string }[]) => turns.map(({ id }) => id);

describe("the round of a room", () => {
  test("goes from clean to doubtful plants, whatever the walking order", () => {
    const batches = [
      batch("t1", "bench-2"),
      batch("t2", "bench-1", { finds: ["f"] }),
      batch("t3", "bench-1", { one_of_parents: true }),
      batch("t4", "bench-1"),
      batch("t5", "bench-1"),
    ];
    const checks = batches.map(({ id }) => due(id));
    const [room] = roundOf(batches, NO_PLACES, walk(checks, { isHeld: (id) => id === "t4" }));
    expect(ids(room?.turns ?? [])).toEqual(["t5", "t1", "t3", "t4", "t2"]);
    expect(room?.turns.map(({ doubtful }) => doubtful)).toEqual([
      null,
      null,
      "mixed",
      "held",
      "suspect",
    ]);
    expect(room?.next?.id).toBe("t5");
  });

  test("goes on one bench by label, figures as figures, and by id where there is none", () => {
    const batches = [
      batch("t10", "bench-1"),
      batch("t2", "bench-1"),
      batch("a", "bench-1", { label: null }),
      batch("b", "bench-1", { label: null }),
    ];
    const [room] = roundOf(batches, NO_PLACES, walk(batches.map(({ id }) => due(id))));
    expect(ids(room?.turns ?? [])).toEqual(["t2", "t10", "a", "b"]);
  });

  test("tells plants looked over of all that it is about, and goes on with the next", () => {
    const batches = [
      batch("t1", "bench-1", seen(looked(70, "nothing", { plants: 28 }))),
      batch("t2", "bench-1", seen(looked(80, "found"))),
      batch("t3", "bench-1", seen(looked(90, "not_looked", { why: "dark" }))),
      batch("t4", "bench-1"),
      batch("t5", "bench-1"),
    ];
    const [room] = roundOf(batches, NO_PLACES, walk(batches.map(({ id }) => due(id))));
    expect([room?.looked, room?.of, room?.next?.id]).toEqual([78, 250, "t4"]);
    expect(room?.turns.map(({ open }) => open)).toEqual([false, false, false, true, true]);
    expect(room?.turns[2]?.look?.why).toBe("dark");
  });

  test("counts plants that nobody counted before by what was looked at", () => {
    const one = batch("t1", "bench-1", {
      alive: null,
      ...seen(looked(70, "nothing", { plants: 9 })),
    });
    const two = batch("t2", "bench-1", { alive: null, ...seen(looked(70)) });
    const [room] = roundOf([one, two], NO_PLACES, walk([due("t1")]));
    expect([room?.looked, room?.of]).toEqual([9, 9]);
  });

  test("never counts more plants as looked over than live", () => {
    const one = batch("t1", "bench-1", seen(looked(70, "nothing", { plants: 60 })));
    expect(roundOf([one], NO_PLACES, walk([]))[0]).toMatchObject({ looked: 50, of: 50 });
  });

  test("keeps what nobody asks for today apart, and what was done today although nobody asked", () => {
    const batches = [batch("t1", "bench-1"), batch("t2", "bench-1", seen(looked(70)))];
    const [room] = roundOf(batches, NO_PLACES, walk([]));
    expect([ids(room?.turns ?? []), ids(room?.others ?? [])]).toEqual([["t2"], ["t1"]]);
    expect(room?.next).toBeNull();
  });

  test("leaves out what is closed and what does not live any more", () => {
    const batches = [
      batch("t1", "bench-1", { closed: true }),
      batch("t2", "bench-1", { alive: 0 }),
    ];
    expect(roundOf(batches, NO_PLACES, walk([due("t1"), due("t2")]))).toEqual([]);
  });
});

describe("the rooms of a round", () => {
  const rooms = (batches: Looked[], more: Partial<Walk> = {}) =>
    roundOf(batches, NO_PLACES, walk([], more)).map(({ room }) => room);

  test("are walked in their order, what stands in no place last", () => {
    const batches = [batch("a", null), batch("b", "shade"), batch("c", "bench-1")];
    expect(rooms(batches)).toEqual(["q", "shade", NOWHERE]);
  });

  test("in which something is held come after the clean ones", () => {
    const batches = [batch("b", "shade"), batch("c", "bench-1"), batch("d", "bench-2")];
    expect(rooms(batches, { isHeld: (id) => id === "c" })).toEqual(["shade", "q"]);
  });

  test("are not put off by a lost label", () => {
    const batches = [batch("b", "shade"), batch("c", "bench-1", { one_of_parents: true })];
    expect(rooms(batches)).toEqual(["q", "shade"]);
  });
});

describe("a check is asked for", () => {
  const CASES: [string, Partial<Due>, Entry[], boolean][] = [
    ["while it is open", {}, [], true],
    ["not before it opens", { opens_at: at(101) }, [], false],
    ["not after its last instant", { due_by: at(99) }, [], false],
    ["not once the office knows its answer", { answered_by: "e" }, [], false],
    ["not once the office knows its reason", { skipped_by: "e" }, [], false],
    ["not once it was answered here", { opens_at: at(5) }, [looked(5)], false],
    ["although it was answered before it opened", { opens_at: at(6) }, [looked(5)], true],
    ["although a blank was written before today", {}, [looked(5, "not_looked")], true],
    [
      "not once a record says that it is not done",
      {},
      [entry({ kind: "skipped", body: { check: "look-t1", reason: "screen" } })],
      false,
    ],
    ["not by a check of another kind of the same batch", { kind: "inspection" }, [], false],
    ["not of another batch", { subject: "t9" }, [], false],
    ["not of another kind", { kind: "reading" }, [], false],
    ["where people of an incident worked", { kind: "look_elsewhere", subject: "q" }, [], true],
    [
      "after its day where it stays until it is done",
      { kind: "look_elsewhere", subject: "q", due_by: at(99) },
      [],
      true,
    ],
    [
      "not after a late answer",
      { kind: "look_elsewhere", subject: "q", opens_at: at(5), due_by: at(6) },
      [looked(50)],
      false,
    ],
  ];

  test.each(CASES)("%s", (_, check, entries, open) => {
    const one = batch("t1", "bench-1", seen(...entries));
    const [room] = roundOf([one], NO_PLACES, walk([due("t1", check)]));
    expect([...(room?.turns ?? []), ...(room?.others ?? [])][0]?.open).toBe(open);
  });

  test("by the first that is open of several about one batch", () => {
    const checks = [due("t1", { id: "old", due_by: at(9) }), due("t1")];
    const [room] = roundOf([batch("t1", "bench-1")], NO_PLACES, walk(checks));
    expect(room?.next?.check?.id).toBe("look-t1");
  });

  test("of a place in which nothing stands, as the place itself, until that was looked over", () => {
    const check = due("open", { kind: "look_elsewhere" });
    const [room] = roundOf([], NO_PLACES, walk([check]));
    const there = [batch("t1", "open"), batch("t2", "bench-1")].values();
    expect(roundOf(there, NO_PLACES, walk([check]))).toHaveLength(2);
    expect(room).toMatchObject({ room: "open", looked: 0, of: 0, next: { id: "open", check } });
    const done = new Map([["open", { id: "open", ...seen(looked(70, "nothing", { plants: 9 })) }]]);
    expect(roundOf([], done, walk([check]))[0]).toMatchObject({ looked: 9, of: 9, next: null });
    const before = new Map([["open", { id: "open", ...seen(looked(50)) }]]);
    expect(roundOf([], before, walk([check]))).toEqual([]);
  });
});

test.each([
  ["T2", "T10", -1],
  ["T10", "T2", 1],
  ["T3", "TR3", -1],
  ["T3", "T3", 0],
  ["T", "T3", -1],
  ["T3", "T", 1],
  ["", "T", -1],
])("%s stands to %s as %i", (a, b, order) => {
  expect(Math.sign(byLabel(a, b))).toBe(order);
});

test.each([
  ["nothing", 4, 5, true],
  ["found", 5, 5, false],
  ["not_looked", 0, 5, false],
  ["nothing", null, 5, false],
  ["nothing", 4, null, false],
])("a look %s in %s min with a floor of %s is quick: %s", (answer, minutes, floor, quick) => {
  const { look } = lately([looked(5, answer, { minutes })]);
  expect(look !== null && isQuick(look, floor)).toBe(quick);
});

test("a raw record of nothing is no look", () => {
  const nothing: Raw = { kind: "noted", body: { text: "wet" } };
  expect(lately([entry(nothing)]).look).toBeNull();
});

interface Stood {
  readonly id: string;
  readonly label: string;
  readonly place: string | null;
  readonly alive?: number | null;
  readonly closed?: boolean;
  readonly finds?: readonly string[];
  readonly mixed?: boolean;
  readonly held?: boolean;
}

describe("the order of a round is the office's", () => {
  const rows = vectors.places.map(({ id, ...body }): Seat => ({ id, body }));
  test.each(vectors.cases)("$name", ({ batches, rooms }) => {
    const stood = (batches as readonly Stood[]).map(({ mixed, ...more }) =>
      batch(more.id, more.place, { ...more, one_of_parents: mixed ?? false }),
    );
    const held = new Set(
      (batches as readonly Stood[]).filter((one) => one.held).map(({ id }) => id),
    );
    const told = roundOf(
      stood,
      NO_PLACES,
      walk(
        stood.map(({ id }) => due(id)),
        { seats: new Seats(rows), isHeld: (id) => held.has(id) },
      ),
    );
    expect(told.map(({ room, turns }) => [room, ids(turns)])).toEqual(rooms);
  });
});
