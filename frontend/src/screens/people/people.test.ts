import { expect, test } from "vitest";
import { fits } from "../who/pin";
import {
  COLOURS,
  freeTile,
  holderOf,
  lastDay,
  newId,
  SHAPES,
  sorted,
  type PersonRow,
} from "./people";
import { canBeMade, pinned, ROUNDS, sharedWith } from "./pin";

function person(id: string, more: Partial<PersonRow["body"]> = {}): PersonRow {
  return { id, rev: 1, body: { name: id, role: "worker", language: "en", ...more } };
}

const TODAY = "2031-03-24";

test("people stand by name, and those who left behind them, the latest first", () => {
  const rows = [
    person("Öda"),
    person("old", { until: "2030-01-01" }),
    person("Ana", { until: TODAY }),
    person("late", { until: "2031-03-23" }),
    person("Pia"),
  ];
  const { here, gone } = sorted(rows, TODAY, "en");
  expect(here.map(({ id }) => id)).toEqual(["Ana", "Öda", "Pia"]);
  expect(gone.map(({ id }) => id)).toEqual(["late", "old"]);
});

test("who leaves has no tile from now on, unless they came today", () => {
  expect(lastDay("2030-01-01", TODAY)).toBe("2031-03-23");
  expect(lastDay(null, "2031-03-01")).toBe("2031-02-28");
  expect(lastDay(TODAY, TODAY)).toBe(TODAY);
});

test("a free tile has a shape of its own as long as there are any, and is never another's", () => {
  const here: PersonRow[] = [];
  for (let i = 0; i < SHAPES.length * COLOURS.length; i += 1) {
    const tile = freeTile(here);
    expect(holderOf(tile, here, null)).toBeNull();
    here.push(person(`p-${i}`, { tile }));
  }
  const firsts = here.slice(0, SHAPES.length).map(({ body }) => body.tile?.shape);
  expect(new Set(firsts).size).toBe(SHAPES.length);
  expect(freeTile(here).colour).toBe("black");
});

test("a tile is another's only where shape and colour are", () => {
  const tile = { shape: "circle", colour: "blue" };
  const here = [person("p-a", { tile })];
  expect(holderOf(tile, here, null)?.id).toBe("p-a");
  expect(holderOf(tile, here, "p-a")).toBeNull();
  expect(holderOf({ ...tile, colour: "red" }, here, null)).toBeNull();
});

test.each([
  ["Nela Quirova", [], "p-nela-quirova"],
  ["Ñandú", [], "p-nandu"],
  ["Ana", ["p-ana", "p-ana-2"], "p-ana-3"],
  ["李", [], "p-new"],
  ["  -- ", ["p-new"], "p-new-2"],
])("somebody called %s is known by an id in plain letters", (name, taken, id) => {
  expect(newId("p", name, taken)).toBe(id);
});

test("a PIN is kept as a hash with a salt of its own, and fits itself alone", async () => {
  expect(canBeMade()).toBe(true);
  const [one, other] = await Promise.all([pinned("2714"), pinned("2714")]);
  expect(one.pin_rounds).toBe(ROUNDS);
  expect(one.pin_hash).toMatch(/^[0-9a-f]{64}$/);
  expect(one.pin_salt).toMatch(/^[0-9a-f]{32}$/);
  expect(one.pin_hash).not.toBe(other.pin_hash);
  expect(await fits("2714", one)).toBe(true);
  expect(await fits("2715", one)).toBe(false);
});

test("it is known whose PIN is the same, and one's own is not another's", async () => {
  const here = [
    person("p-a", await pinned("2714")),
    person("p-b"),
    person("p-c", await pinned("5093")),
  ];
  expect((await sharedWith("5093", here, "p-b"))?.id).toBe("p-c");
  expect(await sharedWith("5093", here, "p-c")).toBeNull();
  expect(await sharedWith("0000", here, "p-b")).toBeNull();
});
