import { expect, test } from "vitest";
import { entry, idOf, instant, type Raw } from "../testing/entries";
import type { Instant } from "./entry";
import { breachesOf, lastReadings, lastSeen, openFor, textsOf } from "./room";

const at = (id: number, kind: string, body: object, more: Partial<Raw> = {}) =>
  entry({ ...{ id, kind, about: ["r-1"], body: body as Record<string, unknown> }, ...more });

test("of each kind of figure the latest is told", () => {
  const told = [
    at(1, "read", { readings: [{ what: "ph", value: 6 }] }),
    at(2, "read", {
      readings: [
        { what: "ph", value: 6.1 },
        { what: "air_c", value: 22 },
      ],
    }),
    at(3, "watered", { minutes: 3 }),
  ];
  expect(lastReadings(told)).toEqual([
    { what: "ph", value: 6.1, at: instant(2) },
    { what: "air_c", value: 22, at: instant(2) },
  ]);
});

test("what was used last is offered first, and once", () => {
  const told = [
    at(1, "dosed", { product: "copper" }),
    at(2, "dosed", { product: "hypochlorite" }),
    at(3, "dosed", { product: "copper" }),
    at(4, "dosed", { product: "" }),
    at(5, "dosed", { product: 7 }),
    at(6, "cleaned", { product: "soap" }),
  ];
  expect(textsOf("dosed", "product", told)).toEqual(["copper", "hypochlorite"]);
});

const TORN = at(1, "breached", { what: "screen", size_cm: 35, last_good_at: instant(0) });

test("a tear is open until it is mended", () => {
  expect(breachesOf([TORN])).toEqual([
    {
      ...{ line: idOf(1), at: instant(1), what: "screen", sizeCm: 35 },
      ...{ lastGoodAt: instant(0), mended: null },
    },
  ]);
});

test.each([
  ["names it", { what: "tape", breach: idOf(1) }, [instant(9), null]],
  ["names its correction", { what: "tape", breach: idOf(3) }, [instant(9), null]],
  ["names none", { what: "tape" }, [instant(9), instant(9)]],
  ["names another", { what: "tape", breach: idOf(77) }, [null, null]],
])("a repair that %s mends that", (_, body, mended) => {
  const told = [
    TORN,
    at(2, "breached", { what: "door" }),
    at(3, "breached", { what: "screen" }, { corrects: 1, at: 1 }),
    at(9, "repaired", body),
    at(10, "repaired", { what: "again", breach: idOf(1) }),
    at(11, "breached", { what: 7 }),
    at(12, "left", {}),
    at(13, "watered", {}),
  ];
  const first = breachesOf(told.slice(0, 4)).map((one) => one.mended);
  expect(first).toEqual(mended);
  expect(breachesOf(told)[0]?.mended).toBe(mended[0] ?? instant(10));
});

test.each([
  [{ last_good_at: instant(0) }, 9, 9 * 60_000],
  [{ last_good_at: instant(0) }, null, null],
  [{}, 9, null],
])(
  "it stood open since the last good check, and without one nobody can tell: %j",
  (known, at_, ms) => {
    const torn = at(1, "breached", { what: "screen", ...known });
    const mended = at_ === null ? [] : [at(at_, "repaired", { what: "tape", breach: idOf(1) })];
    expect(breachesOf([torn, ...mended]).map(openFor)).toEqual([ms]);
  },
);

test("the room was whole when somebody last saw it", () => {
  const told = [
    at(1, "looked", { answer: "nothing" }),
    at(2, "left", {}),
    at(3, "noted", { text: "wind" }),
    at(4, "read", { readings: [] }),
    at(5, "left", {}),
  ];
  expect(lastSeen(told, instant(4) as Instant, 2)).toEqual([instant(4), instant(2)]);
});
