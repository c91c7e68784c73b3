import { afterEach, describe, expect, test, vi } from "vitest";
import { local, reckon, stretchAround } from "./local";

const HOUR_MS = 3_600_000;

afterEach(() => {
  reckon(null);
  vi.restoreAllMocks();
});

describe("the local day and hour", () => {
  test.each([
    ["Asia/Kathmandu", "2031-03-08T18:20:00.000Z", { day: "2031-03-09", hour: "00:05" }],
    ["America/St_Johns", "2031-01-01T02:00:00.000Z", { day: "2030-12-31", hour: "22:30" }],
    ["UTC", "2031-06-30T23:59:59.999Z", { day: "2031-06-30", hour: "23:59" }],
  ])("in %s", (zone, at, expected) => {
    expect(local(at, zone)).toEqual(expected);
  });

  // Clocks change in the first three, in one of them by half an hour.
  test.each(["Europe/Madrid", "Australia/Lord_Howe", "America/St_Johns", "Asia/Kathmandu", "UTC"])(
    "reckoned with is the one that the browser tells, through a year in %s",
    (zone) => {
      for (let at = Date.UTC(2031, 0, 1); at < Date.UTC(2032, 0, 1); at += 31 * HOUR_MS) {
        const stretch = stretchAround(at, zone);
        for (const away of [-12, -7.3, 0, 5.9, 12]) {
          const instant = new Date(at + away * HOUR_MS).toISOString();
          reckon(null);
          const told = local(instant, zone);
          reckon(stretch);
          expect(local(instant, zone)).toEqual(told);
        }
      }
    },
  );

  test("is reckoned without asking the browser for its zones", () => {
    const at = Date.UTC(2031, 2, 8, 9);
    reckon(stretchAround(at, "Europe/Madrid"));
    const asked = vi.spyOn(Intl.DateTimeFormat.prototype, "formatToParts");
    local(new Date(at).toISOString(), "Europe/Madrid");
    expect(asked).not.toHaveBeenCalled();
    local(new Date(at + 13 * HOUR_MS).toISOString(), "Europe/Madrid");
    local(new Date(at).toISOString(), "Asia/Kathmandu");
    expect(asked).toHaveBeenCalledTimes(2);
  });

  test("is not reckoned about the night in which the clocks change", () => {
    expect(stretchAround(Date.UTC(2031, 2, 30, 3), "Europe/Madrid")).toBeNull();
    expect(stretchAround(Date.UTC(2031, 2, 28), "Europe/Madrid")?.offset).toBe(HOUR_MS);
  });

  test("of what is no instant is an error", () => {
    reckon(stretchAround(Date.UTC(2031, 2, 8), "UTC"));
    expect(() => local("yesterday", "UTC")).toThrow(RangeError);
  });
});
