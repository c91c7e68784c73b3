import { beforeEach, describe, expect, test } from "vitest";
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

test("requirement 7: after a restore the photos that the office lost come back by themselves", async () => {
  const sha256 = await photographs("photo-1");
  await phone.round();
  office.restore([]);
  desk.kept.clear();
  for (let i = 0; i < 3; i += 1) await phone.round();
  expect(desk.kept.has(sha256)).toBe(true);
  expect((await phone.photos.all()).map(({ state }) => state)).toEqual(["sent"]);
});
