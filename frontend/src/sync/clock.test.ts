import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { KeptClock } from "../shelf/row";
import { Clock } from "./clock";

const OFFICE = Date.parse("2031-03-03T02:00:00.000Z");
const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

/** A phone whose clock is off by so much, `sleeps` where its monotone clock then stands still. */
class Phone {
  wall: number;
  mono = 5000;
  office = OFFICE;
  readonly clock: Clock;

  constructor(error = 0) {
    this.wall = OFFICE + error;
    this.clock = new Clock({ wall: () => this.wall, mono: () => this.mono });
  }

  wait(ms: number): void {
    this.wall += ms;
    this.mono += ms;
    this.office += ms;
  }

  sleep(ms: number): void {
    this.wall += ms;
    this.office += ms;
  }

  /** A ping that takes so long, half of it on the way there, and what befell the phone meanwhile. */
  ping(trip = 200, meanwhile?: () => void): KeptClock | null {
    const hears = this.clock.asks();
    this.wait(trip / 2);
    const told = new Date(this.office).toISOString();
    meanwhile?.();
    this.wait(trip / 2);
    return hears(told);
  }
}

describe("requirement 13: a phone with a wrong clock that has pinged since", () => {
  test("stamps within two seconds of true time, whatever its error and the trip", () => {
    const error = fc.integer({ min: -5 * 366 * 24 * HOUR, max: 5 * 366 * 24 * HOUR });
    const trip = fc.integer({ min: 0, max: 3900 });
    fc.assert(
      fc.property(error, trip, fc.integer({ min: 0, max: 9 * 24 * HOUR }), (off, ms, later) => {
        const phone = new Phone(off);
        phone.ping(ms);
        phone.wait(later);
        expect(Math.abs(Date.parse(phone.clock.now()) - phone.office)).toBeLessThan(2000);
        expect(phone.clock.sure()).toBe(phone.clock.now());
        expect(Math.abs((phone.clock.skewMs ?? Infinity) - off)).toBeLessThan(2000);
      }),
    );
  });
});

describe("what one phone writes keeps its order", () => {
  /** The office answers at once, but its word is late: half of the trip is a bad guess. */
  function hears(phone: Phone, late: number): void {
    const word = phone.clock.asks();
    const told = new Date(phone.office).toISOString();
    phone.wait(late);
    word(told);
  }

  test("a slow answer does not set back what a quick one told", () => {
    const phone = new Phone(5000);
    phone.ping();
    hears(phone, 6000);
    expect(phone.clock.skewMs).toBe(5000);
  });

  test("a clock that a quick answer sets back by seconds waits, and then goes on", () => {
    const phone = new Phone();
    const early = new Date(phone.office + 4000).toISOString();
    phone.clock.asks()(early);
    const first = phone.clock.now();
    phone.ping(20);
    expect(phone.clock.now()).toBe(first);
    phone.wait(5000);
    expect(Date.parse(phone.clock.now())).toBe(phone.office);
  });
});

describe("a phone that did not stand still while the office answered", () => {
  test.each([
    [
      "slept, and its monotone clock with it",
      (phone: Phone) => {
        phone.sleep(2 * HOUR);
      },
    ],
    [
      "slept, its monotone clock going on",
      (phone: Phone) => {
        phone.wait(2 * HOUR);
      },
    ],
    [
      "slept two seconds",
      (phone: Phone) => {
        phone.sleep(2000);
      },
    ],
    ["was set an hour ahead", (phone: Phone) => (phone.wall += HOUR)],
    ["was set a minute back", (phone: Phone) => (phone.wall -= MINUTE)],
  ])("%s: it learns nothing, and what it knew stands", (_name, befalls) => {
    const phone = new Phone(7 * HOUR);
    phone.ping();
    const known = phone.clock.kept.offset;
    expect(
      phone.ping(200, () => {
        befalls(phone);
      }),
    ).toBeNull();
    expect(phone.clock.kept.offset).toBe(known);
    expect(phone.ping()).not.toBeNull();
    expect(phone.clock.ms()).toBe(phone.office);
  });

  test("one that knew nothing knows nothing", () => {
    const phone = new Phone();
    phone.ping(200, () => {
      phone.sleep(HOUR);
    });
    expect([phone.clock.known, phone.clock.sure()]).toEqual([false, null]);
  });
});

describe("a gate asks whether the time is known", () => {
  test("not before the office was ever heard", () => {
    const { clock } = new Phone();
    expect(clock.sure()).toBeNull();
    expect(clock.skewMs).toBeNull();
    expect(clock.now()).toBe("2031-03-03T02:00:00.000Z");
  });

  test.each([
    ["an hour back", -HOUR],
    ["half a day ahead", 12 * HOUR],
    ["two minutes back", -2 * MINUTE],
  ])("not after somebody set the clock %s, until the office is heard again", (_name, jump) => {
    const phone = new Phone();
    phone.ping();
    phone.wall += jump;
    expect(phone.clock.sure()).toBeNull();
    phone.wait(HOUR);
    expect(phone.clock.sure()).toBeNull();
    phone.ping();
    expect(phone.clock.sure()).not.toBeNull();
  });

  test("a network that corrects a few seconds changes nothing", () => {
    const phone = new Phone();
    phone.ping();
    phone.wall += 20_000;
    expect(phone.clock.sure()).not.toBeNull();
  });

  test("a phone that slept in a pocket knows the time when it wakes", () => {
    const phone = new Phone(7 * HOUR);
    phone.ping();
    phone.clock.rested();
    phone.sleep(9 * HOUR);
    phone.clock.rested();
    expect(phone.clock.sure()).not.toBeNull();
    expect(Math.abs(Date.parse(phone.clock.now()) - phone.office)).toBeLessThan(2000);
  });

  test("a clock that was set back during sleep is found out", () => {
    const phone = new Phone();
    phone.ping();
    phone.clock.rested();
    phone.sleep(HOUR);
    phone.wall -= 5 * HOUR;
    phone.clock.rested();
    expect(phone.clock.sure()).toBeNull();
  });

  test("an app that is opened again goes on with the offset, and finds a clock that went back", () => {
    const phone = new Phone(3 * HOUR);
    phone.ping();
    phone.wait(HOUR);
    const { kept } = phone.clock;
    const later = new Phone(3 * HOUR + 2 * HOUR);
    later.clock.load(kept);
    expect(later.clock.sure()).toBe("2031-03-03T04:00:00.000Z");
    const wrong = new Phone(3 * HOUR);
    wrong.clock.load(kept);
    expect(wrong.clock.sure()).toBeNull();
  });

  test("what was kept beside the disk holds until the disk tells, and only until then", () => {
    const phone = new Phone(3 * HOUR);
    const at = phone.clock.ms();
    phone.clock.guess({ offset: HOUR, high: 0 });
    expect(phone.clock.ms()).toBe(at + HOUR);
    phone.clock.load({ offset: 2 * HOUR, high: 0 });
    expect(phone.clock.ms()).toBe(at + 2 * HOUR);
    phone.clock.guess({ offset: HOUR, high: 0 });
    phone.clock.load({ offset: HOUR, high: 0 });
    expect(phone.clock.ms()).toBe(at + 2 * HOUR);
  });

  test("the latest instant that any of them ever used is not forgotten", () => {
    const phone = new Phone(3 * HOUR);
    phone.clock.guess({ offset: 0, high: phone.clock.ms() + HOUR });
    phone.clock.load({ offset: 0, high: 0 });
    expect(phone.clock.sure()).toBeNull();
  });
});
