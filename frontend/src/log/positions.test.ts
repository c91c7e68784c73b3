import { describe, expect, it } from "vitest";
import { entry, type Raw } from "../testing/entries";
import { noSeats, seat, seated, seatsJson } from "./positions";

const ROW = "terrace-4.2";
const here = { block: "terrace-4", row: "2" };
const elsewhere = { block: "terrace-4", row: "3" };

function of(...told: Raw[]) {
  const seats = noSeats();
  told
    .map((one, i) => entry({ id: i + 1, ...one }))
    .forEach((one) => {
      seated(seats, ROW, one);
    });
  const { positions, left_empty } = seatsJson(seats);
  return { positions, left_empty };
}

const planted = (batch: string, where: object, ...positions: string[]): Raw => ({
  ...{ kind: "planted", about: [batch, ROW], body: { ...where, positions } },
});
const looked = (where: object, position: string, state: string, cause?: string): Raw => ({
  ...{ kind: "surveyed", about: [ROW] },
  body: { ...where, seen: [{ position, state, ...(cause === undefined ? {} : { cause }) }] },
});

describe("who stands in the holes of a row", () => {
  it("is told by its block and number, or by the block alone", () => {
    expect([seat("tr4", "2"), seat("tr4", null), seat("tr4")]).toEqual(["tr4.2", "tr4", "tr4"]);
  });

  it("is not what other rows tell, nor other records", () => {
    const empty = { kind: "left_empty", about: [ROW], body: { ...elsewhere, positions: ["13"] } };
    const other = planted("b-2", elsewhere, "13");
    const watered = { kind: "watered", about: [ROW], body: { litres: 5 } };
    expect(of(other, empty, looked(elsewhere, "13", "dead"), watered)).toEqual({
      ...{ positions: {}, left_empty: [] },
    });
  });

  it("is nobody where one only looked, and no hole is empty that is planted", () => {
    const empty = {
      kind: "left_empty",
      about: [ROW],
      body: { ...here, positions: ["13", "15", "14"] },
    };
    const found = of(looked(here, "13", "dead"), planted("b-2", here, "13"), empty);
    expect(Object.keys(found.positions)).toEqual(["13"]);
    expect(found.left_empty).toEqual(["14", "15"]);
  });

  it("keeps the cause of the last look, and none where none was said", () => {
    const dead = looked(here, "13", "dead", "drought");
    const first = of(planted("b-2", here, "13"), dead).positions["13"];
    expect(first).toMatchObject({ state: "dead", cause: "drought", batch: "b-2" });
    const again = of(planted("b-2", here, "13"), dead, looked(here, "13", "alive")).positions["13"];
    expect(again).toMatchObject({ state: "alive", cause: null });
  });

  it.each([
    ["b-2", "alive", { batch: "b-2", first: true }],
    ["b-3", "alive", { batch: "b-3", first: true }],
    ["b-3", "dead", { batch: "b-3", first: false }],
  ])("of a hole planted again with %s, whose plant was %s, is %o", (batch, state, stands) => {
    const told = of(
      planted("b-2", here, "13"),
      looked(here, "13", state),
      planted(batch, here, "13"),
    );
    expect(told.positions["13"]).toMatchObject(stands);
  });

  it("is no first planting where a gap was filled, nor where another takes the place of that", () => {
    const filled = { kind: "refilled", about: ["b-3", ROW], body: { ...here, positions: ["13"] } };
    const dead = looked(here, "13", "dead");
    const told = of(planted("b-2", here, "13"), dead, filled, planted("b-4", here, "13"));
    expect(told.positions["13"]).toMatchObject({ batch: "b-4", first: false });
  });

  it("has no batch where the record names none", () => {
    const nobodys = { kind: "planted", about: [ROW], body: { ...here, positions: ["13"] } };
    expect(of(nobodys).positions["13"]).toMatchObject({ batch: "" });
  });
});
