import { describe, expect, it } from "vitest";
import { drawing, squares } from "./drawn";
import { heldAt } from "./told";

it("a map frames what is held of the crop, and no shelter tree", () => {
  const { rows } = drawing({
    ...{ id: "b-1", in_row_m: 4, between_m: 2 },
    rows: [
      { number: 1, first: 1, holes: 5 },
      { number: 2, first: 6, holes: 4 },
      { number: 3, first: 1, holes: 3, stands: "shelter" },
    ],
  });
  const held = new Set(["2", "6", "S1"]);
  expect(squares(rows, (name) => held.has(name))).toBe("M4 0h0M0 2h0");
});

describe("positions that are held, as the office tells them", () => {
  const properties = {
    ...{ row: 1, meant: null, batch: "T2", planted: null, state: "alive" as const, cause: null },
    position: "1",
  };
  const hold = { by: "order", reference: "Q-1", since: "2032-09-13T04:00:00.000Z" };

  it("are those of which it says what holds them", () => {
    const some = [
      { properties: { ...properties, holds: [{ ...hold, provisional: false }] } },
      { properties: { ...properties, position: "2", holds: [] } },
      { properties: { ...properties, position: "3" } },
    ];
    expect([...heldAt(some)]).toEqual([
      [
        "1",
        [
          {
            ...{ ...hold, provisional: false },
            ...{ orders: [], here: false, batches: [], people: [] },
          },
        ],
      ],
    ]);
  });
});
