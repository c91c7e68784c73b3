import { expect, test } from "vitest";
import { NO_LINE, NO_TRAP } from "../../log/sheet";
import { BLANK, lineOf, paperOf, ticks, trapOf, type Form } from "./form";

const AT = { today: "2031-03-24", zone: "Etc/GMT-10", now: "2031-03-24T04:00:00.000Z" };
const WHOLE: Form = {
  ...BLANK,
  by: "w1",
  hours: { from: "0710", until: "0825" },
  photos: ["photo-1"],
  lines: { t1: { ...NO_LINE, answer: "nothing" } },
};

test("a whole sheet is read in the nursery's zone", () => {
  expect(paperOf(WHOLE, AT)).toEqual({
    by: "w1",
    from: "2031-03-23T21:10:00.000Z",
    until: "2031-03-23T22:25:00.000Z",
    photo: "photo-1",
  });
  expect(paperOf({ ...WHOLE, photos: [] }, AT)).toMatchObject({ photo: null });
});

test.each<[string, Partial<Form>, string]>([
  ["nobody", { by: "" }, "who"],
  ["one hour", { hours: { from: "0710" } }, "hours"],
  ["no hour that there is", { hours: { from: "0710", until: "2575" } }, "hours"],
  ["a day that nobody put together", { when: { day: "other", on: null } }, "hours"],
  ["an end before its beginning", { hours: { from: "0825", until: "0710" } }, "order"],
  ["an hour that is still to come", { hours: { from: "0710", until: "1500" } }, "ahead"],
  ["no tick", { lines: { t1: NO_LINE }, traps: { a: NO_TRAP } }, "ticks"],
])("a sheet with %s lacks something", (_, more, lacks) => {
  expect(paperOf({ ...WHOLE, ...more }, AT)).toBe(lacks);
});

test("lines and traps without a tick are blank", () => {
  expect([lineOf(WHOLE, "t2"), trapOf(WHOLE, "a")]).toEqual([NO_LINE, NO_TRAP]);
  expect(ticks({ lines: WHOLE.lines, traps: { a: { ...NO_TRAP, said: "empty" } } })).toBe(2);
});
