import { expect, test } from "vitest";
import type { BatchView, RowView } from "../../net/views";
import { heldOf, NONE, offered, type Holds } from "./holds";

const batches = ["t1", "t2"].map((id) => ({ id }) as BatchView);
const places = ["room", "t1"].map((id): RowView => ({ id, body: {} }));
const held = (what: "batch" | "place", id: string): Holds["held"][number] => ({
  ...{ what, id, name: id, since: "", orders: [], kind: "order", where: null, who: null },
});

const HELD: [string, Holds, string[], string[]][] = [
  ["nothing", NONE, [], []],
  ["a tray", { ...NONE, held: [held("batch", "t1")] }, ["t1"], []],
  ["a room", { ...NONE, held: [held("place", "room")] }, [], ["room"]],
];

test.each(HELD)("where %s is held, that is offered", (_, holds, trays, seats) => {
  const found = heldOf({ batches, places }, holds);
  expect(found.batches.map(({ id }) => id)).toEqual(trays);
  expect(found.places.map(({ id }) => id)).toEqual(seats);
});

test("what is not offered any more is not chosen either", () => {
  expect([...offered(new Set(["t1", "t9"]), batches)]).toEqual(["t1"]);
});
