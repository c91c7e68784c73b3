import { describe, expect, test } from "vitest";
import { askedOf, plantsOf, proposalsOf, shareOf, type Asking, type Told } from "./planning";

const FORM: Asking = {
  ...{ crop: "cacao", plants: "1000", weeks: { first: "2032-10-05", last: "2032-11-12" } },
  ...{ certainty: 0.9, permit: "", lost: { before: "", nursery: "", field: "" }, release: null },
};
const step = (act: string, on: string, past = false) => ({ act, on, until: null, past });
const TOLD: Told = {
  ...{ as_of_seq: 1, crop: "cacao", plants: 1000, certainty: 0.9, missing: [] },
  start: { middle: 1389, sure: 1532, stages: [] },
  days: [
    step("stratify", "2031-01-01", true),
    step("sow", "2032-04-06"),
    step("germination", "2032-04-20"),
    step("plant", "2032-10-05"),
  ],
};

describe("a plan is asked", () => {
  test("with the losses that were typed alone", () => {
    expect(askedOf(FORM)).toMatchObject({ crop: "cacao", plants: 1000, lost: {}, permit: null });
    const typed = { ...FORM, permit: "p", lost: { before: "12,5 %", nursery: "", field: "0" } };
    expect(askedOf(typed)).toMatchObject({ lost: { before: 0.125, field: 0 }, permit: "p" });
  });

  test.each([
    { crop: "" },
    { plants: "" },
    { plants: "0" },
    { plants: "1.5" },
    { weeks: null },
    { lost: { before: "100", nursery: "", field: "" } },
    { lost: { before: "much", nursery: "", field: "" } },
  ])("not while %o", (changes) => {
    expect(askedOf({ ...FORM, ...changes })).toBeNull();
  });
});

test("figures are read as they are typed", () => {
  expect([plantsOf("220"), plantsOf("x"), shareOf(" "), shareOf("10%")]).toEqual([
    ...[220, null, null, 0.1],
  ]);
});

describe("proposals", () => {
  test("are of acts to come, with the plants of their stage", () => {
    expect(proposalsOf(TOLD, "house", "plan-1")).toEqual([
      {
        ...{ kind: "booked", about: ["house"] },
        body: { act: "sowing", on: "2032-04-06", proposed: true, plants: 1532, plan: "plan-1" },
      },
      {
        ...{ kind: "booked", about: ["house"] },
        body: { act: "planting", on: "2032-10-05", proposed: true, plants: 1000, plan: "plan-1" },
      },
    ]);
  });

  test.each<[string, number | null]>([
    ["stratify", 1532],
    ["sow", 1532],
    ["inspect", null],
    ["toughen", null],
    ["pot", null],
    ["plant", 1000],
  ])("to %s are of %j plants: as many are started, and as many planted", (act, plants) => {
    const [found] = proposalsOf({ ...TOLD, days: [step(act, "2032-04-06")] }, "house", "plan-1");
    expect((found as { body: { plants?: number } }).body.plants ?? null).toBe(plants);
  });

  test("are of as many as likely where no number is sure", () => {
    const [sow] = proposalsOf({ ...TOLD, start: { ...TOLD.start, sure: null } }, "h", "p");
    expect(sow).toMatchObject({ body: { plants: 1389 } });
  });
});
