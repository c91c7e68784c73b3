import { describe, expect, test } from "vitest";
import vectors from "../../../tests/vectors/qualified.json";
import untrained from "../../../tests/vectors/untrained.json";
import type { ProductRow } from "./products";
import {
  againstLicence,
  isLicenceWanted,
  lacking,
  licenceOf,
  mayTreat,
  numberOn,
  trainingOf,
  wantedBy,
  type Worker,
} from "./qualified";

const person = (body: Partial<Worker["body"]> = {}): Worker => ({
  id: "p",
  body: { name: "Ana", ...body },
});

test.each(vectors.licences)("a licence: $name", ({ papers, on, held, day }) => {
  expect(licenceOf(person({ licences: papers }), on)).toEqual({ held, day });
});

test.each(vectors.trainings)("a training: $name", ({ papers, asked, on, held, day }) => {
  expect(trainingOf(person({ trainings: papers }), asked, on)).toEqual({ held, day });
});

test.each(vectors.may.days)("who may on $on", ({ on, who }) => {
  const people = vectors.may.people.map(({ id, ...body }) => ({
    id,
    body: body,
  }));
  expect(mayTreat(people, on).map(({ id }) => id)).toEqual(who);
});

test("of two with one name the first by id stands first", () => {
  const one = { id: "b", body: { name: "Ana", licences: [{ what: "x" }] } };
  expect(mayTreat([one, { ...one, id: "a" }], "2031-03-03").map(({ id }) => id)).toEqual([
    "a",
    "b",
  ]);
});

test("nothing typed is nothing held", () => {
  expect(trainingOf(person(), "Hygiene", "2031-03-03").held).toBe("missing");
  expect(numberOn(person(), "2031-03-03")).toBeNull();
});

test.each([
  ["2031-03-05", "L-9"],
  ["2031-03-20", "L-9"],
  ["2031-03-21", null],
])("the number that is good on %s is %s", (on, number) => {
  const licences = [
    { what: "a", number: "L-7", until: "2031-03-10" },
    { what: "b", number: "L-9", until: "2031-03-20" },
    { what: "c", number: "L-11", since: "2031-04-01" },
  ];
  expect(numberOn(person({ licences }), on)).toBe(number);
});

test.each([
  [true, null, true],
  [false, null, false],
  [false, "Q-09", true],
])("a row that wants one (%s), an order (%s): %s", (licensed, order, wanted) => {
  const row: ProductRow = { id: "soap", rev: 1, body: { name: "Soap", licensed } };
  expect(isLicenceWanted(row, order)).toBe(wanted);
});

test("a product without a row wants none", () => {
  expect(isLicenceWanted(null, null)).toBe(false);
});

describe("against somebody stands", () => {
  test.each([
    [[], "licence_none", { name: "Ana" }],
    [[{ what: "x", until: "2031-03-02" }], "licence_ended", { name: "Ana", until: "2031-03-02" }],
    [[{ what: "x", since: "2031-03-04" }], "licence_not_yet", { name: "Ana", since: "2031-03-04" }],
  ])("%j: %s", (licences, reason, params) => {
    const found = againstLicence(person({ licences }), "2031-03-03");
    expect(found).toMatchObject({ answer: "no", reason, params, opens: { code: "when_licensed" } });
  });

  test("nothing, on its last day", () => {
    const licences = [{ what: "x", until: "2031-03-03" }];
    expect(againstLicence(person({ licences }), "2031-03-03")).toBeNull();
  });
});

test.each(untrained)("at a door: $name", ({ places, trainings, wanted, lacks }) => {
  const asked = wantedBy([...places.map((body) => ({ body })), null]);
  expect(asked.map(({ what, stops }) => [what, stops])).toEqual(wanted);
  const found = lacking(person({ trainings }), asked, "2031-03-03").map(({ stops, verdict }) => [
    ...[verdict.reason, verdict.params["what"], verdict.params["day"]],
    stops,
  ]);
  expect(found).toEqual(lacks);
});
