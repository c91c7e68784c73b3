/** When a phone lets go of a picture that the office has. */
import "fake-indexeddb/auto";
import { beforeEach, describe, expect, test } from "vitest";
import type { Instant } from "../log/entry";
import type { Draft } from "../log/write";
import { Wire } from "../net/sync";
import { Outbox } from "../shelf/outbox";
import { Photos } from "../shelf/photos";
import { Reserve } from "../shelf/reserve";
import { portal, problem } from "../testing/office";
import { hashOf, PhotoDesk } from "../testing/photos";
import { composed, fresh, NOON, NURSERY } from "../testing/shelf";
import { PhotoSender } from "./photos";

const LATER = "2031-03-04T03:00:00.000Z" as Instant;
let desk: PhotoDesk;
let outbox: Outbox;
let photos: Photos;
let sender: PhotoSender;
/** What stands between the phone and the office, where something does. */
let between: () => Response | null;
let now: number;
let seed: number;

beforeEach(async () => {
  desk = new PhotoDesk();
  outbox = new Outbox(fresh("outbox"));
  await outbox.know({ install: "i-1", device: "d-1", nursery: NURSERY, epoch: "e1" });
  photos = new Photos(outbox, fresh("photos"), new Reserve(fresh("reserve")));
  sender = new PhotoSender(photos, outbox, () => now);
  between = () => null;
  now = 0;
  seed = 0;
});

const wire = new Wire("2026.12.0", (path, init) =>
  Promise.resolve(between() ?? desk.answer(init.method ?? "GET", path, init)),
);

/** A picture that a record names, and the office has answered for the record. */
async function described(
  size: number,
  takenAt: Instant = NOON,
): Promise<{ id: string; sha256: string }> {
  seed += 1;
  const bytes = new Uint8Array(Buffer.alloc(size, `photo ${seed} `));
  const photo = { id: `photo-${seed}`, sha256: hashOf(bytes) };
  const [data, thumb] = [new Blob([bytes]), new Blob([new Uint8Array(40)])];
  const seen = { sha256: photo.sha256, width: 1600, height: 1200 };
  const of = { id: photo.id, subject: "b-t4", shows: "label", takenAt };
  await photos.keep({ data, thumb, ...seen }, of);
  const body = { photo: photo.id, ...seen, shows: "label" };
  const draft: Draft = { kind: "photographed", about: ["b-t4"], body };
  const rows = await outbox.save(NOON, [composed(draft)]);
  await photos.name(rows);
  await outbox.acked(new Map(rows.map(({ id }) => [id, { id, status: "stored", seq: 1 }])), 0);
  return photo;
}

async function states(): Promise<string[]> {
  return (await photos.all()).map(({ state }) => state);
}

describe("the phone lets a photo go once a tested backup holds it, and not before", () => {
  test("it stays whole until the office says so; then a small one stays", async () => {
    const { id, sha256 } = await described(1000);
    desk.safe.add("another");
    await sender.run(wire);
    expect(await states()).toEqual(["sent"]);
    expect((await photos.file(id, "data"))?.size).toBe(1000);
    expect(await photos.mayGo()).toBe(false);
    desk.safe.add(sha256);
    // It asks now and then, not with each round.
    await sender.run(wire);
    expect(await states()).toEqual(["sent"]);
    now += 10 * 60_000;
    await sender.run(wire);
    expect(await states()).toEqual(["safe"]);
    expect(await photos.file(id, "data")).toBeNull();
    expect((await photos.file(id, "thumb"))?.size).toBe(40);
    expect(await photos.waiting()).toEqual({ count: 0, bytes: 0 });
    expect(await photos.mayGo()).toBe(true);
  });

  test("what was not sent stays, whatever the office says", async () => {
    const { id, sha256 } = await described(1000);
    await photos.safe([sha256]);
    expect(await states()).toEqual(["kept"]);
    expect((await photos.file(id, "data"))?.size).toBe(1000);
  });

  test("an office that was restored is offered what is here whole, and nothing else", async () => {
    const gone = await described(1000);
    await sender.run(wire);
    await photos.safe([gone.sha256]);
    await described(2000, LATER);
    await sender.run(wire);
    await sender.offer();
    expect(await states()).toEqual(["safe", "described"]);
    await sender.run(wire);
    expect(await states()).toEqual(["safe", "sent"]);
  });

  test("many are asked for in several calls", async () => {
    for (let i = 0; i < 501; i += 1) await described(10);
    await sender.run(wire);
    expect(desk.asked).toEqual([500, 1]);
  }, 60_000);

  test.each([
    ["an office that cannot say so", () => problem(404, "no_such_page"), true],
    ["a portal's page", portal, false],
    ["503 later", () => problem(503, "later"), false],
  ] as const)("%s: all stay", async (_, answer, calm) => {
    const { id, sha256 } = await described(1000);
    await sender.run(wire);
    desk.safe.add(sha256);
    now += 10 * 60_000;
    between = answer;
    const run = sender.run(wire);
    await (calm ? expect(run).resolves.toBe(false) : expect(run).rejects.toThrow());
    expect(await states()).toEqual(["sent"]);
    expect((await photos.file(id, "data"))?.size).toBe(1000);
  });
});
