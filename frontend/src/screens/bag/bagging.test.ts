import { expect, test } from "vitest";
import { chosenOf, destroyedOf, disposedOf, sharesOf, shownOf } from "./bagging";

const ROWS = [
  { batch: { id: "b-t4" }, count: 3 },
  { batch: { id: "b-t5" }, count: 2 },
];
const FIRE = { kg: "3.1", method: "burned", witness: "Iven Dorrel" };

test("the officer sees all that is in the bag, or what somebody chose of it", () => {
  expect(chosenOf(ROWS, null)).toEqual(ROWS);
  const plants = sharesOf(chosenOf(ROWS, ["b-t4"]));
  expect(shownOf(" Iven Dorrel ", plants)).toEqual({
    ...{ kind: "shown", about: ["b-t4"] },
    body: { to: "Iven Dorrel", plants: [{ id: "b-t4", count: 3 }] },
  });
});

test("what is burned leaves the bag", () => {
  const plants = sharesOf(ROWS);
  expect(disposedOf(FIRE, "dead_plants", plants, [])).toEqual({
    ...{ kind: "disposed", about: ["b-t4", "b-t5"] },
    body: { what: "dead_plants", method: "burned", kg: 3.1, witness: "Iven Dorrel", plants },
  });
});

test("plants destroyed by an order leave the living count, and the dead may burn with them", () => {
  const shares = [
    { id: "b-t4", count: 50 },
    { id: "b-t5", count: 0 },
  ];
  expect(destroyedOf(shares, "Q-09")).toEqual([
    {
      ...{ kind: "lost", about: ["b-t4"] },
      body: { count: 50, fate: "destroyed", kept: false, order: "Q-09" },
    },
  ]);
  expect(destroyedOf(shares, null)[0]?.body).not.toHaveProperty("order");
  expect(disposedOf(FIRE, "destroyed_plants", [], ["b-t4"])).toEqual({
    ...{ kind: "disposed", about: ["b-t4"] },
    body: { what: "destroyed_plants", method: "burned", kg: 3.1, witness: "Iven Dorrel" },
  });
  const dead = sharesOf(ROWS.slice(0, 1));
  expect(disposedOf(FIRE, "destroyed_plants", dead, ["b-t4"]).about).toEqual(["b-t4"]);
});
