import { describe, expect, test } from "vitest";
import { batchJson, emptyBatch } from "../../log/batch";
import type { BatchView } from "../../net/views";
import { threeOf } from "./three";

const PLANTING = [
  { first: "10-01", last: "11-15" },
  { first: "03-01", last: "03-31" },
];
const ZONE = "Etc/GMT-10";

const batch = (more: Partial<BatchView>): BatchView => ({
  ...batchJson(emptyBatch("b-2")),
  ...{ crop: null, consignment: null, container: null, cells: null, one_of_parents: false },
  ...{ began_at: null, opened_on: null, released: null, doubts: [], outlook: null },
  ...more,
});
const MARCH = { on: "2032-03-12", first: "2032-03-01", last: "2032-03-31" };
const waiting = (
  earliest: string | null,
  plant: typeof MARCH | null = MARCH,
): Partial<BatchView> => ({
  outlook: { clock: { started_on: "2031-03-03", earliest }, held: [], doubts: [], plant },
});
const three = (more: Partial<BatchView>, today = "2031-07-30", planting = PLANTING) =>
  threeOf(batch(more), planting, today, ZONE);

describe("the three clocks", () => {
  test("of a batch that waits: it is planted as the office says, and the weeks before are lost", () => {
    expect(three(waiting("2031-11-23"))).toEqual({
      release: "2031-11-23",
      decided: null,
      waits: true,
      plant: "2032-03-12",
      weeks: { first: "2032-03-01", last: "2032-03-31" },
      missed: [{ first: "2031-10-01", last: "2031-11-15" }],
    });
  });

  test("of one that is in time: nothing is lost", () => {
    expect(three(waiting("2031-08-30"), "2031-03-24")).toMatchObject({ missed: [] });
    expect(three(waiting("2031-10-20"))).toMatchObject({ missed: [] });
  });

  test("where the office cannot say a day there is none", () => {
    const none = { plant: null, weeks: null };
    expect(three(waiting(null, null))).toMatchObject({ ...none, release: null, waits: true });
    expect(three({ opened_on: "2031-03-03" })).toMatchObject({ ...none, release: null });
    expect(three({})).toMatchObject({ ...none, waits: false, missed: [] });
  });

  test("once released the day is decided, by the nursery's day", () => {
    const released = { notice: "RN-204", at: "2031-11-23T22:30:00.000Z" };
    expect(three({ ...waiting("2031-11-23"), released }, "2031-12-01")).toMatchObject({
      release: "2031-11-24",
      decided: "2031-11-24",
      waits: false,
      plant: "2032-03-12",
    });
  });

  test.each([{ stage: "planted" }, { closed: true }])("of %j nothing is planted", (more) => {
    expect(three({ ...waiting("2031-11-23"), ...more })).toMatchObject({ plant: null, missed: [] });
  });

  test("where no weeks were set none are lost", () => {
    expect(three(waiting("2031-11-23"), "2031-07-30", [])).toMatchObject({ missed: [] });
  });
});
