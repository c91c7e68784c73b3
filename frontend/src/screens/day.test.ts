import { expect, test } from "vitest";
import { endOf, instantAt, startOf } from "./day";

test.each([
  ["2031-03-24", "Etc/GMT-10", "2031-03-23T14:00:00.000Z", "2031-03-24T13:59:59.999Z"],
  ["2031-03-24", "UTC", "2031-03-24T00:00:00.000Z", "2031-03-24T23:59:59.999Z"],
  ["2031-01-10", "Pacific/Marquesas", "2031-01-10T09:30:00.000Z", "2031-01-11T09:29:59.999Z"],
  ["2031-03-30", "Europe/Berlin", "2031-03-29T23:00:00.000Z", "2031-03-30T21:59:59.999Z"],
  ["2031-10-26", "Europe/Berlin", "2031-10-25T22:00:00.000Z", "2031-10-26T22:59:59.999Z"],
])("the day %s begins and ends in %s", (day, zone, first, last) => {
  expect([startOf(day, zone), endOf(day, zone)]).toEqual([first, last]);
});

test.each([
  ["2031-05-18", "04:50", "Etc/GMT-10", "2031-05-17T18:50:00.000Z"],
  ["2031-10-26", "02:30", "Europe/Berlin", "2031-10-26T01:30:00.000Z"],
  ["2031-03-30", "02:30", "Europe/Berlin", "2031-03-30T01:30:00.000Z"],
])("%s %s in %s is %s", (day, hour, zone, at) => {
  expect(instantAt(day, hour, zone)).toBe(at);
});
