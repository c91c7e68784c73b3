import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { afield, type Afield, type Here, type Told } from "./afield";
import { read, type Entry } from "./entry";
import { Seats, type Seat } from "./seats";

interface Scene {
  readonly name: string;
  readonly today: string;
  readonly told: Told;
  readonly entries: readonly unknown[];
  readonly fresh: readonly string[];
  readonly office: Pick<Afield, "on" | "checks" | "verdict" | "verdicts" | "spares"> & {
    readonly signed: readonly string[];
  };
}

const { growers, places, scenes } = JSON.parse(
  readFileSync("../tests/vectors/afield.json", "utf8"),
) as { growers: string[]; places: Seat[]; scenes: Scene[] };
const seats = new Seats(places);
const HOURS_EAST = 10;

function hereIn(scene: Scene, more: Partial<Here> = {}): Here {
  const entries = scene.entries.map(read).filter((one): one is Entry => one !== null);
  return {
    today: scene.today,
    dayOf: (at) => new Date(Date.parse(at) + HOURS_EAST * 3_600_000).toISOString().slice(0, 10),
    entries,
    fresh: scene.fresh,
    outward: (place) => seats.outward(place),
    growers,
    held: false,
    reentry: () => false,
    ...more,
  };
}

describe("what the office will say of it, this phone says at once", () => {
  test.each(scenes)("$name", (scene) => {
    const found = afield(scene.told, hereIn(scene));
    expect({ ...found, signed: Object.keys(found.signed).sort() }).toMatchObject(scene.office);
  });
});

function sceneOf(name: string): Scene {
  const found = scenes.find((one) => one.name === name);
  if (!found) throw new Error(`no scene: ${name}`);
  return found;
}

const QUIET = sceneOf("told all, nothing known, 2032-03-09");

test("a hold or a treatment that only this phone knows stops the day", () => {
  const colours = (more: Partial<Here>) =>
    afield(QUIET.told, hereIn(QUIET, more))
      .checks.filter(({ what }) => what === "holds" || what === "reentry")
      .map(({ colour }) => colour);
  expect(colours({})).toEqual(["go", "go"]);
  expect(colours({ held: true })).toEqual(["no", "go"]);
  expect(colours({ reentry: (on) => on === "2032-03-12" })).toEqual(["go", "no"]);
});

test("how deep it is wet is told of each block, with who signed what", () => {
  const scene = sceneOf("told all, signed here, 2032-03-09");
  const found = afield(scene.told, hereIn(scene));
  expect(found.wet).toEqual({ tr3: 22, tr4: 22 });
  expect(found.signed).toEqual({
    dry_spell: { by: "g", reason: "mats", on: "2032-03-09" },
    "nurse_row:tr4": { by: "g", reason: "shade mats", on: "2032-03-09" },
  });
});

test("pots that are full are counted in weeks to the day that is booked", () => {
  const told = { ...QUIET.told, ahead: { ...QUIET.told.ahead, full_on: "2032-01-30" } };
  const pots = afield(told, hereIn(QUIET)).checks.find(({ what }) => what === "pots_full");
  expect(pots).toMatchObject({ colour: "wait", params: { weeks: 6 } });
});

test("of weeks that nobody set nothing is left to count, and before them no day", () => {
  const left = (weeks: Told["ahead"]["weeks"]) =>
    afield({ ...QUIET.told, ahead: { ...QUIET.told.ahead, weeks } }, hereIn(QUIET)).day.days_left;
  expect(left(null)).toBeNull();
  expect(left({ first: "2032-03-20", last: "2032-04-10" })).toBe(0);
  expect(left({ first: "2032-03-12", last: "2032-03-15" })).toBe(3);
});

test("a record of a newer version says nothing here", () => {
  const scene = sceneOf("nothing known, sky by hand, 2032-03-09");
  const newer = scene.entries.map((one) => ({ ...(one as object), v: 99 }));
  expect(afield(scene.told, hereIn({ ...scene, entries: newer })).sky).toEqual({});
});
