import { expect, test } from "vitest";
import { byName, idOfName, nameOfId, Seats, type Seat } from "./seats";

const seat = (id: string, kind: string, parent: string | null, walk?: number): Seat => ({
  id,
  body: { name: id.toUpperCase(), kind, parent, ...(walk === undefined ? {} : { walk }) },
});
const TREE = [
  seat("bench-2", "bench", "q", 2),
  seat("bench-1", "bench", "q", 1),
  seat("q", "room", "site", 9),
  seat("site", "nursery", null),
  seat("ante", "anteroom", "q"),
  seat("terrace", "terrace", "site", 3),
  seat("row", "row", "terrace"),
  seat("lost", "bench", "nowhere"),
  seat("b", "bed", null),
  { id: "nameless", body: { kind: "bed", parent: null, name: 7 } },
];
const seats = new Seats(TREE);

test("what is inside a place comes in walking order, then by name", () => {
  expect(seats.inside("q").map(({ id }) => id)).toEqual(["bench-1", "bench-2", "ante"]);
  expect(seats.inside("bench-1")).toEqual([]);
  expect(seats.subtree("site")).toEqual([
    ...["site", "terrace", "row", "q", "bench-1", "bench-2", "ante"],
  ]);
});

test("a place whose surroundings nobody described stands by itself", () => {
  expect(seats.outward("lost")).toEqual(["lost"]);
  expect(seats.inside(null).map(({ id }) => id)).toEqual(["b", "lost", "site", "nameless"]);
});

test.each([
  ["bench-1", "q"],
  ["ante", "ante"],
  ["row", "terrace"],
  ["site", "site"],
  ["nobody", "nobody"],
])("the room of %s is %s", (id, room) => {
  expect(seats.room(id)).toBe(room);
});

test("rooms are where people work", () => {
  expect(seats.rooms.map(({ id }) => id)).toEqual(["q"]);
  expect(seats.get("q")?.body["kind"]).toBe("room");
  expect(seats.get("nobody")).toBeNull();
});

test("places that are inside each other are walked all the same", () => {
  const ring = new Seats([seat("x", "bed", "y"), seat("y", "bed", "x"), seat("z", "bed", null)]);
  expect(ring.outward("x")).toEqual(["x", "y"]);
  expect(ring.subtree("x")).toEqual(["x", "y"]);
  expect(ring.walk.map(({ id }) => id)).toEqual(["z", "x", "y"]);
});

test.each([
  ["Bench 4, behind the door", "Bench_4,_behind_the_door"],
  ["  A/B  ", "A_B"],
  ["Mesa ñ", "Mesa_ñ"],
  ["..", ""],
  ["x".repeat(70), "x".repeat(64)],
])("the place %o is called %o in the book", (name, id) => {
  expect(idOfName(name)).toBe(id);
});

test("a name is read back from its id", () => {
  expect(nameOfId(idOfName("Bench 4"))).toBe("Bench 4");
});

test("a name that is there already is not given twice", () => {
  expect(byName("bench-1", TREE)?.id).toBe("bench-1");
  expect(byName("BENCH-2 ", TREE)?.id).toBe("bench-2");
  expect(byName("Bench 9", TREE)).toBeNull();
});

test("a row that nobody typed as a place lies in its block, and shares its room", () => {
  expect(seats.outward("terrace.2")).toEqual(["terrace.2", "terrace", "site"]);
  expect(seats.room("terrace.2")).toBe("terrace");
  expect(seats.outward("nowhere.2")).toEqual(["nowhere.2"]);
  expect(seats.room("nowhere.2")).toBe("nowhere.2");
});
