import { expect, test } from "vitest";
import type { BatchView, RowView } from "../../net/views";
import { heldOf, NONE, offered, offs, type Holds } from "./holds";

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

test("labels of one hold are taken off together, old ones are told apart", () => {
  const gone = (name: string, until: string, order: string | null): Holds["ended"][number] => ({
    ...{ what: "batch", id: name, name, since: "2031-05-04", until, order },
  });
  const ended = [
    gone("T1", "2031-06-06", "Q-09"),
    gone("T2", "2031-06-06", "Q-09"),
    gone("T3", "2031-06-06", null),
    gone("T4", "2031-05-06", null),
  ];
  const { lately, before } = offs(ended, "2031-06-06");
  expect(lately.map(({ names, order }) => [names, order])).toEqual([
    [["T1", "T2"], "Q-09"],
    [["T3"], null],
  ]);
  expect(before.map(({ names }) => names)).toEqual([["T4"]]);
});
