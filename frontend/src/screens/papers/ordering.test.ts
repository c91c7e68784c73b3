import { describe, expect, test } from "vitest";
import { aboutOf, draftsOf, NO_ORDER, openOf, type Act, type Ordering } from "./ordering";

const ROOM = { place: "q-room", batches: ["b-t1", "b-t2", "b-t4"] };
const REST = ["b-t1", "b-t2"];
const order = (acts: Act[], more: Partial<Ordering> = {}): Ordering => ({
  ...NO_ORDER,
  ...{ reference: " Q-09 ", photos: ["photo-1"], acts },
  ...more,
});
const ofT4 = { about: { destroy: ["b-t4"] } };
const Q09 = { reference: "Q-09", photo: "photo-1" };

describe("an order", () => {
  test("of the story destroys a tray, has the rest treated, and counts from the second time", () => {
    const form = order(["destroy", "treat", "restart"], { ...ofT4, after: 2 });
    expect(openOf(form, ROOM)).toEqual([]);
    expect(draftsOf(form, ROOM, {})).toEqual([
      { kind: "ordered", about: ["b-t4"], body: { act: "destroy", ...Q09 } },
      {
        ...{ kind: "ordered", about: REST },
        body: { act: "treat", ...Q09, times: 2, interval_days: 10 },
      },
      { kind: "ordered", about: REST, body: { act: "restart", ...Q09, after_treatment: 2 } },
    ]);
  });

  test("after a storm asks for look-overs on days, and lets nothing out before one", () => {
    const looks = ["2031-08-27", "2031-09-10"];
    const form = order(["look", "not_before"], { looks, notBefore: "2031-09-10", photos: [] });
    const at = { occurredAt: "2031-08-13T02:00:00.000Z" as never };
    const about = ["q-room", ...ROOM.batches];
    const asks = { act: "look", reference: "Q-09", looks_on: looks };
    expect(draftsOf(form, ROOM, at)).toEqual([
      { kind: "ordered", about, body: { ...asks, not_before: "2031-09-10" }, ...at },
    ]);
  });

  test("keeps fewer plants back than it has looked over, in a record of their own", () => {
    const looks = ["2031-08-27"];
    const about = { not_before: ["b-t1"] };
    const form = order(["look", "not_before"], { looks, notBefore: "2031-09-10", about });
    expect(draftsOf(form, ROOM, {})).toEqual([
      {
        ...{ kind: "ordered", about: ["q-room", ...ROOM.batches] },
        body: { act: "look", ...Q09, looks_on: looks },
      },
      {
        ...{ kind: "ordered", about: ["q-room", "b-t1"] },
        body: { act: "extend", ...Q09, not_before: "2031-09-10" },
      },
    ]);
  });

  test.each<[Act, Partial<Ordering>, Record<string, unknown>]>([
    ["hold", { admits: ["w1", "g"] }, { admits: ["w1", "g"] }],
    ["hold", {}, {}],
    ["lift", { lifts: "Q-07" }, { lifts: "Q-07" }],
    ["lift", {}, {}],
    ["treat", { times: 1, interval: 0 }, { times: 1 }],
    [
      ...(["treat", { times: 1, interval: 0, dueOn: { treat: "2031-05-23" } }] as const),
      { times: 1, due_on: "2031-05-23" },
    ],
    ["destroy", { about: ofT4.about }, {}],
    [
      ...(["destroy", { ...ofT4, part: 20, dueOn: { destroy: "2031-05-17" } }] as const),
      { count: 20, due_on: "2031-05-17" },
    ],
    ["look", { looks: ["2031-08-27"] }, { looks_on: ["2031-08-27"] }],
    ["not_before", { notBefore: "2031-09-10" }, { act: "extend", not_before: "2031-09-10" }],
    ["restart", {}, {}],
    ["extend", { days: 30 }, { days: 30 }],
  ])("to %s with %j says %j", (act, more, says) => {
    const [draft] = draftsOf(order([act], more), ROOM, {});
    expect(draft?.body).toEqual({ act, ...Q09, ...says });
  });

  test("is about all of the room until somebody says of what", () => {
    expect(aboutOf(order(["hold"]), "hold", ROOM)).toEqual(ROOM.batches);
    expect(aboutOf(order(["destroy"]), "destroy", ROOM)).toEqual([]);
    const chosen = order(["treat"], { about: { treat: ["b-t2", "b-gone"] } });
    expect(aboutOf(chosen, "treat", ROOM)).toEqual(["b-t2"]);
    // A hold is of everything that stands there, also of what is to be destroyed.
    expect(aboutOf(order(["destroy", "hold"], ofT4), "hold", ROOM)).toEqual(ROOM.batches);
    expect(aboutOf(order(["destroy", "treat"]), "treat", ROOM)).toEqual(ROOM.batches);
    expect(aboutOf(order(["treat"], ofT4), "treat", ROOM)).toEqual(ROOM.batches);
  });

  test.each<[Act, Partial<Ordering>, boolean]>([
    ["destroy", {}, true],
    ["not_before", {}, true],
    ["look", {}, true],
    ["treat", { dueOn: { treat: null } }, true],
    ["treat", { dueOn: { treat: "2031-05-23" } }, false],
    ["extend", { days: 0 }, true],
    ["extend", {}, false],
    ["hold", {}, false],
  ])("to %s with %j lacks something: %s", (act, more, open) => {
    expect(openOf(order([act], more), ROOM)).toEqual(open ? [act] : []);
  });
});
