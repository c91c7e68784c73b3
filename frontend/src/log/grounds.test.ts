import { describe, expect, test } from "vitest";
import { entry, instant, type Raw } from "../testing/entries";
import { worldOf, type Rows } from "../testing/world";
import type { EntryId, Instant } from "./entry";
import { heldIn, heldRow } from "./held-row";
import type { Occupant } from "./positions";
import type { Told, World } from "./world";

const at = (minute: number) => instant(minute) as Instant;
const NOTHING: Told = { batches: {}, places: {}, incidents: [] };
const CAME: Raw = {
  ...{ id: 1, at: 0, kind: "received", about: ["b-1", "b-2"] },
  body: {
    consignment: "c",
    batches: [
      { id: "b-1", label: "1" },
      { id: "b-2", label: "2" },
    ],
  },
};

describe("an order about ground", () => {
  const FIELD: Rows = [
    { type: "place", id: "n", body: { kind: "nursery" } },
    { type: "place", id: "farm", body: { kind: "block", parent: "n" } },
    { type: "place", id: "tr4", body: { kind: "terrace", parent: "farm" } },
    { type: "place", id: "tr3", body: { kind: "terrace", parent: "farm" } },
  ];
  const plants = (id: number, batch: string, row: string, position: string): Raw => {
    const body = { block: row.split(".")[0], row: row.split(".")[1], positions: [position] };
    return { id, kind: "planted", body, about: [batch, row] };
  };
  const order = (id: number, about: string, reference = "Q-1"): Raw => ({
    ...{ id, kind: "ordered", about: [about] },
    body: { act: "hold", reference },
  });
  const PLANTED = [plants(5, "b-1", "tr4.2", "13"), plants(6, "b-1", "tr3.1", "1")];
  const stood = (told: Told | null, ...more: Raw[]) =>
    worldOf(FIELD, [CAME, ...PLANTED, ...more].map(entry), told, at(60));
  const held = { by: "ground_order", reference: "Q-1", since: at(9), here: false };

  test.each(["tr4", "tr4.2", "farm"])("%s holds the batches that stand there", (about) => {
    const world = stood(NOTHING, order(9, about));
    expect(world.holdsOf("b-1")).toMatchObject([{ ...held, place: about, batches: ["b-1"] }]);
    expect(world.holdsOf("b-2")).toEqual([]);
    expect(world.mayI("sending", "b-1", null).reason).toBe("held_here");
  });

  test("holds the plants there, and none of the same batch elsewhere", () => {
    const world = stood(NOTHING, order(9, "tr4"));
    expect(world.holdsAt("b-1", "tr4.2")).toHaveLength(1);
    expect(world.holdsAt("b-1", "tr3.1")).toEqual([]);
    expect(stood(NOTHING, order(9, "b-1")).holdsAt("b-1", "tr3.1")).toHaveLength(1);
  });

  test("is told once, in the office's words, where the office knows it", () => {
    const said = { by: "ground_order", reference: "Q-1", since: at(9), provisional: false };
    const told = {
      ...NOTHING,
      batches: { "b-1": { held: [{ ...said, place: "tr4" }], gates: [] } },
    };
    const world = stood(told, order(9, "tr4"), order(10, "tr3", "Q-2"));
    expect(world.holdsOf("b-1").map(({ reference }) => reference)).toEqual(["Q-1", "Q-2"]);
    const older = { ...NOTHING, batches: { "b-1": { held: [said], gates: [] } } };
    expect(stood(older).holdsAt("b-1", "tr3.1")).toHaveLength(1);
  });

  test("holds no plant that is missing", () => {
    const seen = [{ position: "13", state: "missing" }];
    const body = { block: "tr4", row: "2", seen };
    const gone: Raw = { id: 8, kind: "surveyed", about: ["tr4.2"], body };
    expect(stood(NOTHING, gone, order(9, "tr4")).holdsOf("b-1")).toEqual([]);
  });

  test("holds the ground itself", () => {
    const world = stood(NOTHING, order(9, "farm"), order(10, "tr4"), order(11, "tr4", "Q-2"));
    const by = (ground: string) =>
      world.heldGround(ground).map(({ reference, place }) => [reference, place]);
    expect(by("tr4.2")).toEqual([
      ["Q-1", "tr4"],
      ["Q-2", "tr4"],
    ]);
    expect(by("tr3")).toEqual([["Q-1", "farm"]]);
    expect(by("n")).toEqual([]);
  });

  test.each([
    ["tr4", "Terrace 4"],
    ["tr4.2", "tr4.2"],
  ])("lets nothing be planted in %s", (about, place) => {
    const rows = FIELD.map((row) =>
      row.id === "tr4" ? { ...row, body: { ...row.body, name: "Terrace 4" } } : row,
    );
    const world = worldOf(rows, [CAME, order(9, about)].map(entry), NOTHING, at(60));
    expect(world.mayPlant("b-1", "tr4.2", null)).toEqual({
      ...{ answer: "no", reason: "held_by_place_order", opensAt: null },
      params: { reference: "Q-1", since: at(9), place },
      opens: { code: "when_lifted", params: { reference: "Q-1" } },
    });
    expect(world.mayPlant("b-1", "tr3.1", null).reason).toBe("not_told");
  });

  describe("a row, position by position", () => {
    const by = (world: World, seat: string, batch: string | null) =>
      heldRow(world, seat)
        .of(batch)
        .map((hold) => [hold.by, hold.reference]);

    test("is held with the batch that stands there, wherever its order is from", () => {
      const world = stood(NOTHING, order(9, "b-1"));
      expect(by(world, "tr4.2", "b-1")).toEqual([["order", "Q-1"]]);
      expect(by(world, "tr4.2", "b-2")).toEqual([]);
      expect(by(world, "tr4.2", null)).toEqual([]);
    });

    test("is held with its ground, told once, whoever stands there or nobody", () => {
      const world = stood(NOTHING, order(9, "tr4"));
      expect(by(world, "tr4.2", "b-1")).toEqual([["ground_order", "Q-1"]]);
      expect(by(world, "tr4.2", "b-2")).toEqual([["place_order", "Q-1"]]);
      expect(by(world, "tr4.2", null)).toEqual([["place_order", "Q-1"]]);
      expect(by(world, "tr3.1", "b-1")).toEqual([]);
    });

    test("of a block is told by name, those of its crop alone", () => {
      const world = stood(NOTHING, order(9, "b-1"), order(10, "tr4.1", "Q-2"));
      const rows = [
        { number: 1, first: 1, holes: 2 },
        { number: 2, first: 11, holes: 4 },
        { number: 3, first: 1, holes: 2, stands: "shelter" as const },
      ];
      const positions = {
        "13": { batch: "b-1", state: "alive" },
        "14": { batch: "b-2", state: "dead" },
      };
      const rest = { at: at(5), entry: "e" as EntryId, cause: null, first: true, look: null };
      const occupants = Object.fromEntries(
        Object.entries(positions).map(([name, one]) => [name, { ...rest, ...one } as Occupant]),
      );
      const found = heldIn(world, { id: "tr4", rows }, (seat) =>
        seat === "tr4.2" ? { positions: occupants } : undefined,
      );
      expect([...found].map(([name, [hold]]) => [name, hold?.reference])).toEqual([
        ["1", "Q-2"],
        ["2", "Q-2"],
        ["13", "Q-1"],
      ]);
    });

    test("asks once for each batch", () => {
      const row = heldRow(stood(NOTHING, order(9, "b-1")), "tr4.2");
      expect(row.of("b-1")).toBe(row.of("b-1"));
    });
  });
});
