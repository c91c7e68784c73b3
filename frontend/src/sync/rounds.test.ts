import { beforeEach, describe, expect, test, vi } from "vitest";
import type { Round } from "./engine";
import type { Draft } from "../log/write";
import type { PushBody } from "../net/sync";
import { bodyOf, problem, TwinOffice } from "../testing/office";
import { hashOf, PhotoDesk } from "../testing/photos";
import { TestPhone } from "../testing/phones";
import { NOON } from "../testing/shelf";

let office: TwinOffice;
let desk: PhotoDesk;
let phone: TestPhone;
/** What each call was about, in order. */
let calls: string[];
let told: PushBody["outbox"][];
/** Whether the office has no room for photos. */
let full: boolean;

beforeEach(async () => {
  office = new TwinOffice();
  desk = new PhotoDesk();
  calls = [];
  told = [];
  full = false;
  phone = new TestPhone({
    time: { now: office.now },
    fetch: (path, init) => {
      const where = path.replace(/^\/api\/v1\/(sync\/)?/, "").split(/[?/]/)[0] ?? "";
      calls.push(where);
      if (where === "push") told.push((bodyOf(init) as PushBody).outbox);
      if (where !== "uploads") return office.fetch(path, init);
      if (full) return Promise.resolve(problem(507, "photo_quota"));
      return Promise.resolve(desk.answer(init.method ?? "GET", path, init));
    },
  });
  await phone.join();
  await phone.round();
});

/** Take a picture and save the record that names it. */
async function photographs(id: string): Promise<string> {
  const bytes = new Uint8Array(Buffer.alloc(1000, id));
  const sha256 = hashOf(bytes);
  const [data, thumb] = [new Blob([bytes]), new Blob([bytes])];
  const of = { id, subject: "b-1", shows: "label", takenAt: NOON };
  await phone.photos.keep({ data, thumb, sha256, width: 40, height: 30 }, of);
  const body = { photo: id, sha256, width: 40, height: 30, shows: "label" };
  const draft: Draft = { kind: "photographed", about: ["b-1"], body };
  await phone.photos.name([await phone.write(draft)]);
  return sha256;
}

describe("what a round tells the tabs of the office's clock", () => {
  async function after(passes: number): Promise<readonly number[]> {
    const time = { now: office.now };
    const slow = new TestPhone({
      time,
      fetch: async (path, init) => {
        const answer = await office.fetch(path, init);
        if (path.endsWith("/ping")) time.now += wait;
        return answer;
      },
    });
    let wait = 0;
    await slow.join();
    await slow.round();
    wait = passes;
    await slow.round();
    return slow.hours;
  }

  test("is what it knows itself, not what a slow answer guesses", async () => {
    expect(await after(4000)).toEqual([0, 0]);
  });

  test("is nothing where the phone slept meanwhile", async () => {
    expect(await after(2 * 60 * 60_000)).toEqual([0]);
  });
});

describe("a round with photos", () => {
  test("sends records first, fetches, and then sends photos", async () => {
    const sha256 = await photographs("photo-1");
    calls = [];
    expect(await phone.round()).toMatchObject({ standing: "calm", more: true });
    expect(desk.kept.has(sha256)).toBe(true);
    expect(calls.lastIndexOf("push")).toBeLessThan(calls.indexOf("uploads"));
    expect(calls.indexOf("outlook")).toBeLessThan(calls.indexOf("uploads"));
  });

  test("is followed by one that tells the office that none waits any more", async () => {
    await photographs("photo-1");
    told = [];
    await phone.round();
    expect(told.at(-1)).toMatchObject({ photos: 1, photo_bytes: 1000 });
    expect(await phone.round()).not.toHaveProperty("more");
    expect(told.at(-1)).toMatchObject({ photos: 0, photo_bytes: 0 });
  });

  test("is as good as any where the office has no room for them", async () => {
    full = true;
    await photographs("photo-1");
    const round = await phone.round();
    expect(round).toMatchObject({ standing: "calm" });
    expect(round).not.toHaveProperty("more");
    expect(await phone.photos.waiting()).toMatchObject({ count: 1 });
  });
});

describe("a glance", () => {
  const LOOKED: Draft = { kind: "noted", about: ["b-1"], body: { text: "x" } };
  let other: TestPhone;

  beforeEach(async () => {
    other = new TestPhone({ time: { now: office.now }, fetch: office.fetch });
    await other.join();
    await other.round();
    calls = [];
    phone.changes.length = 0;
  });

  function glance(signal = new AbortController().signal): Promise<Round | null> {
    return phone.engine.glance(signal);
  }

  test("is one call where nothing came: nothing is written and nothing told", async () => {
    const advance = vi.spyOn(await phone.copy(), "advance");
    expect(await glance()).toBeNull();
    expect(calls).toEqual(["pull"]);
    expect(phone.changes).toEqual([]);
    expect(advance).not.toHaveBeenCalled();
  });

  test("shows what another phone wrote as a round does, and asks for nothing else", async () => {
    const { id } = await other.write(LOOKED);
    await other.round();
    expect(await glance()).toBeNull();
    expect(calls).toEqual(["pull"]);
    expect(await phone.holds()).toEqual([id]);
    expect(phone.changes.map(({ subjects }) => subjects)).toEqual([["b-1"]]);
    calls = [];
    expect(await glance()).toBeNull();
    expect(phone.changes).toHaveLength(1);
  });

  test("tells of rows of reference data too", async () => {
    office.row("place", "r-9", { name: "Bench 9" });
    expect(await glance()).toBeNull();
    expect(phone.changes).toEqual([expect.objectContaining({ rows: true, subjects: [] })]);
  });

  test("sends nothing: what is unsent waits for its round", async () => {
    await phone.write(LOOKED);
    await glance();
    expect(calls).toEqual(["pull"]);
    expect(await phone.states()).toEqual(["queued"]);
  });

  test.each([
    [
      "a restored book",
      () => {
        office.restore([]);
      },
      "later",
    ],
    ["an office that does not know it", () => (office.known = false), "sign_in"],
    ["an app that is too old", () => (office.minPull = "2099.01.0"), "update_first"],
  ])("leaves it to a round to meet %s", async (_, happens, standing) => {
    happens();
    const before = await (await phone.copy()).cursor();
    expect(await glance()).toEqual({ standing, retryAfterS: null, heardAt: null });
    expect(await (await phone.copy()).cursor()).toEqual(before);
    expect(phone.changes).toEqual([]);
  });

  test("says how long an office that is too busy wants to rest", async () => {
    const busy = new TestPhone({
      time: { now: office.now },
      fetch: (path, init) =>
        path.includes("/pull?")
          ? Promise.resolve(problem(503, "later", {}, 60))
          : office.fetch(path, init),
    });
    await busy.join();
    await busy.round();
    const found = await busy.engine.glance(new AbortController().signal);
    expect(found).toEqual({ standing: "later", retryAfterS: 60, heardAt: null });
  });

  test("that is broken off moves nothing, and the round after it has it all", async () => {
    const { id } = await other.write(LOOKED);
    await other.round();
    const off = new AbortController();
    off.abort();
    await glance(off.signal);
    await phone.round();
    expect(await phone.holds()).toEqual([id]);
  });

  test("of a phone that belongs to no nursery asks nobody", async () => {
    const lone = new TestPhone({ time: { now: office.now }, fetch: office.fetch });
    office.calls.length = 0;
    expect(await lone.engine.glance(new AbortController().signal)).toBeNull();
    expect(office.calls).toEqual([]);
  });
});

test("requirement 7: after a restore the photos that the office lost come back by themselves", async () => {
  const sha256 = await photographs("photo-1");
  await phone.round();
  office.restore([]);
  desk.kept.clear();
  for (let i = 0; i < 3; i += 1) await phone.round();
  expect(desk.kept.has(sha256)).toBe(true);
  expect((await phone.photos.all()).map(({ state }) => state)).toEqual(["sent"]);
});
