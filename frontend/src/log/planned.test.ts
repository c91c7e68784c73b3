import { describe, expect, test } from "vitest";
import { entry } from "../testing/entries";
import { droppedOf, plannedOn, proposedFrom, takenOf } from "./planned";

const dayOf = (instant: string): string => instant.slice(0, 10);
// The entries of the tests are made on 3 March.
const TODAY = "2031-03-03";
const planned = (id: number, act: string, on: string, more = {}) =>
  entry({ id, kind: "booked", body: { act, on }, ...more });

describe("what is planned for a day", () => {
  test("is told once for each act, and nothing of another day", () => {
    const facts = [
      planned(1, "watering", TODAY),
      planned(2, "watering", TODAY),
      planned(3, "treatment", "2031-03-04"),
    ];
    expect(plannedOn(facts, TODAY, dayOf)).toEqual([{ act: "watering", people: 0, done: false }]);
  });

  test("is done by a record of that day", () => {
    const facts = [
      planned(1, "watering", TODAY),
      entry({ id: 2, kind: "watered", body: { minutes: 20 } }),
    ];
    expect(plannedOn(facts, TODAY, dayOf)).toEqual([{ act: "watering", people: 0, done: true }]);
    const later = [planned(1, "watering", "2031-03-04"), ...facts.slice(1)];
    expect(plannedOn(later, "2031-03-04", dayOf)).toMatchObject([{ done: false }]);
  });

  test("an act that is none of the usual ones stands until the day is over", () => {
    const facts = [entry({ id: 1, kind: "booked", body: { act: "x", on: TODAY, people: 2 } })];
    expect(plannedOn(facts, TODAY, dayOf)).toEqual([{ act: "x", people: 2, done: false }]);
  });

  test("is done by a treatment of that day", () => {
    const span = { started_at: `${TODAY}T06:30:00.000Z`, ended_at: `${TODAY}T06:50:00.000Z` };
    const facts = [
      planned(1, "treatment", TODAY),
      entry({ id: 2, kind: "treated", body: { product: "x", ...span } }),
    ];
    expect(plannedOn(facts, TODAY, dayOf)).toMatchObject([{ act: "treatment", done: true }]);
  });

  test("is not read from a record that cannot be read", () => {
    const newer = entry({ id: 1, kind: "booked", v: 99, body: { act: "watering", on: TODAY } });
    expect(plannedOn([newer], TODAY, dayOf)).toEqual([]);
  });

  test("is planned no more once that was taken back", () => {
    const facts = [
      planned(1, "watering", TODAY),
      entry({ id: 2, kind: "withdrawn", body: {}, corrects: 1 }),
    ];
    expect(plannedOn(facts, TODAY, dayOf)).toEqual([]);
  });
});

describe("what is proposed", () => {
  const proposal = (id: number, act: string, on: string, more = {}) =>
    entry({ id, kind: "booked", body: { act, on, proposed: true, plan: "p", ...more } });

  test("is not planned, and stands soonest first from a day on", () => {
    const facts = [
      proposal(1, "planting", "2031-04-01", { plants: 30 }),
      proposal(2, "sowing", TODAY),
      proposal(3, "sowing", "2031-03-02"),
      planned(4, "watering", TODAY),
    ];
    expect(plannedOn(facts, TODAY, dayOf).map(({ act }) => act)).toEqual(["watering"]);
    expect(proposedFrom(facts, TODAY)).toMatchObject([
      { act: "sowing", on: TODAY, plants: 0 },
      { act: "planting", on: "2031-04-01", plants: 30 },
    ]);
  });

  test("of one day keeps its order", () => {
    const facts = [proposal(1, "a", TODAY), proposal(2, "b", TODAY)];
    expect(proposedFrom(facts, TODAY).map(({ act }) => act)).toEqual(["a", "b"]);
  });

  test("is planned once a grower takes it, and gone once they drop it", () => {
    const fact = proposal(1, "sowing", TODAY, { plants: 40 });
    const [one] = proposedFrom([fact], TODAY);
    if (one === undefined) throw new Error("no proposal");
    expect(takenOf(one)).toMatchObject({
      ...{ kind: "booked", about: fact.about },
      body: { act: "sowing", on: TODAY, plants: 40, plan: "p" },
    });
    expect(takenOf(one).body).not.toHaveProperty("proposed");
    const taken = entry({ id: 2, kind: "booked", body: takenOf(one).body });
    expect(proposedFrom([fact, taken], TODAY)).toEqual([]);
    expect(plannedOn([fact, taken], TODAY, dayOf)).toMatchObject([{ act: "sowing" }]);
    expect(droppedOf(one)).toMatchObject({ kind: "withdrawn", corrects: fact.id });
  });

  test("of no plan is taken by an act of no plan", () => {
    const fact = proposal(1, "sowing", TODAY, { plan: null });
    expect(proposedFrom([fact], TODAY)).toHaveLength(1);
    expect(proposedFrom([fact, planned(2, "sowing", TODAY)], TODAY)).toEqual([]);
  });
});
