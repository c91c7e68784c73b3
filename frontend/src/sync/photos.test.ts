import "fake-indexeddb/auto";
import { beforeEach, describe, expect, test } from "vitest";
import type { Instant } from "../log/entry";
import type { Draft } from "../log/write";
import { Refused, Wire } from "../net/sync";
import { Outbox } from "../shelf/outbox";
import { Photos } from "../shelf/photos";
import { Reserve } from "../shelf/reserve";
import { portal, problem } from "../testing/office";
import { bare, hashOf, PhotoDesk, seeded } from "../testing/photos";
import { composed, fresh, NOON, NURSERY } from "../testing/shelf";
import { PhotoSender } from "./photos";

type Between = (method: string, size: number) => "cut" | "lost answer" | Response | null;

let desk: PhotoDesk;
let outbox: Outbox;
let photos: Photos;
let sender: PhotoSender;
let between: Between;
const LATER = "2031-03-04T03:00:00.000Z" as Instant;
/** How much of a request that is cut went out. */
let share: () => number;
let now: number;
let seed: number;

beforeEach(async () => {
  desk = new PhotoDesk();
  outbox = new Outbox(fresh("outbox"));
  await outbox.know({ install: "i-1", device: "d-1", nursery: NURSERY, epoch: "e1" });
  photos = new Photos(outbox, fresh("photos"), new Reserve(fresh("reserve")));
  sender = new PhotoSender(photos, outbox, () => now);
  between = () => null;
  share = () => 1;
  now = 0;
  seed = 0;
});

const wire = new Wire("2026.12.0", (path, init) => {
  const method = init.method ?? "GET";
  const size = init.body instanceof ArrayBuffer ? init.body.byteLength : 0;
  const fault = between(method, size);
  desk.bytes += fault === "cut" ? Math.floor(size * share()) : size;
  if (fault === "cut") return Promise.reject(new TypeError("Failed to fetch"));
  if (fault instanceof Response) return Promise.resolve(fault);
  const answer = desk.answer(method, path, init);
  if (fault === "lost answer") return Promise.reject(new TypeError("Failed to fetch"));
  return Promise.resolve(answer);
});

/** A picture that a record names, and the office has answered for the record. */
async function described(
  size: number,
  takenAt: Instant = NOON,
): Promise<{ id: string; sha256: string }> {
  seed += 1;
  const bytes = new Uint8Array(Buffer.alloc(size, `photo ${seed} `));
  const photo = { id: `photo-${seed}`, sha256: hashOf(bytes) };
  const [data, thumb] = [new Blob([bytes]), new Blob([new Uint8Array(40)])];
  const captured = { data, thumb, sha256: photo.sha256, width: 1600, height: 1200 };
  await photos.keep(captured, { id: photo.id, subject: "b-t4", shows: "label", takenAt });
  await answered(await saved(photo.id, photo.sha256));
  return photo;
}

async function saved(photo: string, sha256: string) {
  const body = { photo, sha256, width: 1600, height: 1200, shows: "label" };
  const draft: Draft = { kind: "photographed", about: ["b-t4"], body };
  const rows = await outbox.save(NOON, [composed(draft)]);
  await photos.name(rows);
  return rows;
}

async function answered(rows: Awaited<ReturnType<typeof saved>>): Promise<void> {
  await outbox.acked(new Map(rows.map(({ id }) => [id, { id, status: "stored", seq: 1 }])), 0);
}

async function states(): Promise<string[]> {
  return (await photos.all()).map(({ state }) => state);
}

/** Runs until all is sent, at most so many: a run that finds no signal is taken up again. */
async function runs(most: number): Promise<void> {
  for (let i = 0; i < most; i += 1) {
    await sender.run(wire).catch(() => false);
    if ((await photos.waiting()).count === 0) return;
  }
}

describe("a photo goes to the office", () => {
  test("in slices, whole, and stays here", async () => {
    const { id, sha256 } = await described(400_000);
    expect(await sender.run(wire)).toBe(true);
    expect(hashOf(desk.kept.get(sha256) ?? new Uint8Array())).toBe(sha256);
    expect(desk.calls).toEqual(["POST", "PATCH", "PATCH", "PATCH", "PATCH"]);
    expect(await states()).toEqual(["sent"]);
    expect(await photos.waiting()).toEqual({ count: 0, bytes: 0 });
    expect((await photos.file(id, "data"))?.size).toBe(400_000);
    expect(await sender.run(wire)).toBe(false);
  });

  test("in slices of 256 kB where it is large", async () => {
    await described(1_400_000);
    const sizes: number[] = [];
    between = (method, size) => {
      if (method === "PATCH") sizes.push(size);
      return null;
    };
    await sender.run(wire);
    expect(sizes).toEqual([262_144, 262_144, 262_144, 262_144, 262_144, 89_280]);
  });

  test("not before the record that names it", async () => {
    const data = new Blob([new Uint8Array(10)]);
    const captured = { data, thumb: data, sha256: "aa", width: 1, height: 1 };
    await photos.keep(captured, { id: "photo-w", subject: "b-t4", shows: "label", takenAt: NOON });
    expect(await sender.run(wire)).toBe(false);
    const rows = await saved("photo-w", "aa");
    expect(await sender.run(wire)).toBe(false);
    expect(desk.calls).toEqual([]);
    await answered(rows);
    await sender.run(wire);
    expect(desk.calls[0]).toBe("POST");
  });

  test("once: what the office has is not sent again", async () => {
    await described(100_000);
    await sender.run(wire);
    const { bytes } = desk;
    await sender.offer();
    expect(await states()).toEqual(["described"]);
    await sender.run(wire);
    expect(desk.bytes).toBe(bytes);
    expect(await states()).toEqual(["sent"]);
  });

  test("the latest first", async () => {
    await described(1000);
    const latest = await described(1000, LATER);
    between = () => (desk.kept.size > 0 ? "cut" : null);
    await expect(sender.run(wire)).rejects.toThrow();
    expect([...desk.kept.keys()]).toEqual([latest.sha256]);
  });
});

describe("requirement 32: it goes on where the signal broke off", () => {
  test("after one cut at the worst place, no more than 1.3 times the bytes", async () => {
    const { sha256 } = await described(400_000);
    let patches = 0;
    between = (method) => (method === "PATCH" && (patches += 1) === 3 ? "cut" : null);
    await sender.run(wire);
    expect(desk.kept.has(sha256)).toBe(true);
    expect(desk.bytes).toBeGreaterThan(400_000);
    expect(desk.bytes).toBeLessThanOrEqual(1.3 * 400_000);
    expect(desk.calls.filter((method) => method === "POST")).toHaveLength(1);
    expect(desk.calls).toContain("HEAD");
  });

  test("where the answer alone was lost, nothing is sent twice", async () => {
    await described(400_000);
    let patches = 0;
    between = (method) => (method === "PATCH" && (patches += 1) === 2 ? "lost answer" : null);
    await sender.run(wire);
    expect(desk.kept.size).toBe(1);
    expect(desk.bytes).toBe(400_000);
  });

  test("another phone's slice in between, 409, leads to a HEAD", async () => {
    const { sha256 } = await described(400_000);
    let stolen = false;
    between = (method) => {
      if (method !== "PATCH" || stolen || desk.bytes === 0) return null;
      stolen = true;
      return problem(409, "offset_differs", { offset: 0 });
    };
    await sender.run(wire);
    expect(desk.kept.has(sha256)).toBe(true);
    expect(desk.calls.filter((method) => method === "HEAD")).toHaveLength(1);
  });

  test("200 photos of 300 kB, three requests of ten cut anywhere: all arrive, at most 1.3 times", async () => {
    const [count, size] = [200, 300_000];
    const names = [];
    for (let i = 0; i < count; i += 1) names.push((await described(size)).sha256);
    const random = seeded(32);
    share = random;
    between = () => {
      if (random() >= 0.3) return null;
      return random() < 0.2 ? "lost answer" : "cut";
    };
    await runs(2000);
    expect([...desk.kept.keys()].sort()).toEqual(names.sort());
    for (const [name, bytes] of desk.kept) expect(hashOf(bytes)).toBe(name);
    expect(desk.bytes / (count * size)).toBeGreaterThan(1.05);
    expect(desk.bytes / (count * size)).toBeLessThanOrEqual(1.3);
  }, 60_000);
});

describe("whatever the office answers, no photo is lost", () => {
  const answers: Record<string, () => Response> = {
    "a portal's page": portal,
    "401 sign_in": () => problem(401, "sign_in"),
    "429 later": () => problem(429, "later", {}, 7),
    "500": () => problem(500, "server"),
    "503 later": () => problem(503, "later", {}, 7),
    "507 photo_quota": () => problem(507, "photo_quota"),
  };

  test.each(Object.entries(answers))("%s: it waits", async (_, answer) => {
    await described(100_000);
    between = answer;
    await expect(sender.run(wire)).rejects.toThrow();
    expect(await states()).toEqual(["described"]);
    between = () => null;
    await sender.run(wire);
    expect(await states()).toEqual(["sent"]);
  });

  test("one that is not taken stands not in the way of others, and is told", async () => {
    await described(100_000);
    const odd = await described(1000, LATER);
    let asked = 0;
    between = (method, size) => {
      if (method !== "PATCH" || size !== 1000) return null;
      asked += 1;
      return problem(422, "photo_unreadable");
    };
    expect(await sender.run(wire)).toBe(true);
    expect(await sender.run(wire)).toBe(false);
    expect(asked).toBe(1);
    expect((await photos.facts([odd.id]))[0]).toMatchObject({ refused: "photo_unreadable" });
    expect(await states()).toEqual(["sent", "described"]);
    // Opened anew, it is tried again.
    between = () => null;
    sender = new PhotoSender(photos, outbox, () => now);
    await sender.run(wire);
    expect(await states()).toEqual(["sent", "sent"]);
  });

  test("a record that is saved meanwhile goes first, and the photo goes on after it", async () => {
    const { sha256 } = await described(400_000);
    let patches = 0;
    let saving: Promise<unknown> = Promise.resolve();
    between = (method) => {
      if (method === "PATCH" && (patches += 1) === 2) saving = saved("photo-x", "bb");
      return null;
    };
    const waiting = outbox.waiting.bind(outbox);
    outbox.waiting = async () => {
      await saving;
      return waiting();
    };
    expect(await sender.run(wire)).toBe(true);
    expect(patches).toBe(2);
    expect(await states()).toEqual(["described"]);
    await sender.run(wire);
    expect(desk.kept.has(sha256)).toBe(true);
    expect(desk.bytes).toBe(400_000);
  });

  test("a run ends after a while, so that others' records come in between", async () => {
    await described(400_000);
    between = (method) => {
      if (method === "PATCH") now += 8000;
      return null;
    };
    expect(await sender.run(wire)).toBe(true);
    expect(desk.bytes).toBe(300_000);
    await sender.run(wire);
    expect(await states()).toEqual(["sent"]);
  });

  test("an office that speaks no uploads is no trouble, and is asked once", async () => {
    await described(1000);
    between = () => problem(404, "no_such_page");
    expect(await sender.run(wire)).toBe(true);
    expect(await sender.run(wire)).toBe(false);
    expect(await photos.waiting()).toMatchObject({ count: 1 });
  });

  test("an error of a HEAD, which has no words, is one of the office all the same", async () => {
    await described(400_000);
    let cut = false;
    between = (method) => {
      if (method === "HEAD") return bare(401);
      if (method !== "PATCH" || cut) return null;
      cut = true;
      return "cut";
    };
    await expect(sender.run(wire)).rejects.toBeInstanceOf(Refused);
    expect(await states()).toEqual(["described"]);
  });
});
