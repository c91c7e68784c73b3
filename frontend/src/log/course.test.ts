import { describe, expect, test } from "vitest";
import { entry } from "../testing/entries";
import { coursesOf, isOpen, tooSoon, type Course } from "./course";
import type { Entry } from "./entry";

const dayOf = (instant: string) => instant.slice(0, 10);
let made = 0;
const told = (kind: string, body: Record<string, unknown>, more = {}): Entry => {
  made += 1;
  return entry({ id: made, kind, body, ...more });
};
const order = (more: Record<string, unknown> = {}): Entry =>
  told("ordered", { act: "treat", reference: "Q-09", times: 2, interval_days: 10, ...more });
const treated = (day: string, of: string | null = "Q-09"): Entry =>
  told("treated", {
    product: "x",
    started_at: `${day}T06:30:00.000Z`,
    ended_at: `${day}T06:50:00.000Z`,
    order: of,
  });
const booked = (on: string, of = "Q-09"): Entry =>
  told("booked", { act: "treatment", on, order: of });

const courseOf = (...entries: Entry[]): Course => {
  const [course] = coursesOf(entries, dayOf);
  if (!course) throw new Error("no course");
  return course;
};

describe("a course", () => {
  test("of the story: twice, ten days apart", () => {
    const course = courseOf(order(), treated("2031-05-17"));
    expect(course).toEqual({
      ...{ reference: "Q-09", asked: 2, intervalDays: 10, done: ["2031-05-17"] },
      ...{ nextFrom: "2031-05-27", booked: [] },
    });
    expect(isOpen(course)).toBe(true);
    expect(tooSoon(course, "2031-05-26")).toEqual({
      ...{ number: 2, on: "2031-05-26", days: 9, needed: 10, plan: "2031-05-27" },
    });
    expect(tooSoon(course, "2031-05-27")).toBeNull();
  });

  test("begins on any day", () => {
    const course = courseOf(order());
    expect([course.nextFrom, tooSoon(course, "2031-05-16")]).toEqual([null, null]);
  });

  test("passes over one that came too soon, and one of another order", () => {
    const all = [
      order(),
      treated("2031-05-17"),
      treated("2031-05-26"),
      treated("2031-05-27", null),
    ];
    expect(coursesOf(all, dayOf)[0]?.done).toEqual(["2031-05-17"]);
    const done = courseOf(...[...all, treated("2031-05-27")].reverse());
    expect(done.done).toEqual(["2031-05-17", "2031-05-27"]);
    expect(isOpen(done)).toBe(false);
  });

  test("of a restart after the second treatment asks for two", () => {
    const restart = order({ act: "restart", times: null, interval_days: null, after_treatment: 2 });
    expect(coursesOf([restart], dayOf)[0]).toMatchObject({ asked: 2, intervalDays: 0 });
    expect(coursesOf([order(), restart], dayOf)).toHaveLength(1);
    expect(coursesOf([order({ times: null })], dayOf)[0]?.asked).toBe(1);
  });

  test("is not made by a hold, nor by what this version cannot read", () => {
    const unread = told("booked", { act: 7 });
    expect(coursesOf([order({ act: "hold", times: null }), unread], dayOf)).toEqual([]);
  });

  test("knows what is planned and has not come to be", () => {
    const plans = [
      booked("2031-05-27"),
      booked("2031-05-27"),
      booked("2031-05-17"),
      booked("2031-06-01", "X"),
    ];
    const withdrawn = entry({ id: 100, kind: "withdrawn", body: {}, corrects: 99 });
    const off = entry({
      id: 99,
      kind: "booked",
      body: { act: "treatment", on: "2031-05-30", order: "Q-09" },
    });
    const all = [order(), treated("2031-05-17"), ...plans, off, withdrawn];
    expect(coursesOf(all, dayOf)[0]?.booked).toEqual(["2031-05-27"]);
    expect(coursesOf([order(), booked("2031-05-20")], dayOf)[0]?.booked).toEqual(["2031-05-20"]);
  });
});
