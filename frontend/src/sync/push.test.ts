import { beforeEach, describe, expect, test, vi } from "vitest";
import type { PushBody } from "../net/sync";
import { bodyOf, portal, problem, TwinOffice } from "../testing/office";
import { TestPhone } from "../testing/phones";
import { LOSS } from "../testing/shelf";

let office: TwinOffice;
let phone: TestPhone;
/** What stands between the phone and the office; null lets it pass. */
let between: (where: string, entries: readonly string[]) => Response | Error | "silence" | null;
let pushes: number[];
const time = { now: 0 };

beforeEach(async () => {
  office = new TwinOffice();
  between = () => null;
  pushes = [];
  time.now = office.now;
  phone = new TestPhone({
    time,
    fetch: (path, init) => {
      const where = path.replace("/api/v1/sync/", "").split("?")[0] ?? "";
      const entries = where === "push" ? (bodyOf(init) as PushBody).entries : [];
      if (where === "push") pushes.push(entries.length);
      const fault = between(where, entries);
      if (fault === "silence") return silence(init);
      if (fault instanceof Error) return Promise.reject(fault);
      return fault ? Promise.resolve(fault) : office.fetch(path, init);
    },
  });
  await phone.join();
});

async function lose(count: number): Promise<string[]> {
  const rows = await phone.writeAll(Array.from({ length: count }, () => LOSS));
  return rows.map(({ id }) => id);
}

/** Rounds until the outbox is quiet, at most so many. */
async function rounds(most: number): Promise<void> {
  for (let i = 0; i < most; i += 1) await phone.round();
}

/** No answer until the phone's patience is over. */
function silence({ signal }: RequestInit): Promise<Response> {
  return new Promise((_, fail) => {
    signal?.addEventListener("abort", () => {
      fail(new DOMException("aborted", "AbortError"));
    });
  });
}

const reset = new TypeError("Failed to fetch");

describe("requirement 3: whatever the office answers, no record is deleted and none is lost", () => {
  const answers: Record<string, [string, () => Response | Error]> = {
    "no signal": ["no_net", () => reset],
    "a portal's page": ["no_net", portal],
    "a portal that says forbidden": ["no_net", () => portal(403)],
    "a portal that asks to sign in": ["no_net", () => portal(401)],
    "400 bad_envelope": ["later", () => problem(400, "bad_envelope")],
    "401 sign_in": ["sign_in", () => problem(401, "sign_in")],
    "403 device_revoked": ["revoked", () => problem(403, "device_revoked")],
    "403 origin": ["sign_in", () => problem(403, "origin")],
    "409 epoch_changed, and it is the same": [
      "later",
      () => problem(409, "epoch_changed", { epoch: office.epoch }),
    ],
    "410 cursor_expired": ["later", () => problem(410, "cursor_expired")],
    "413 too_big": ["later", () => problem(413, "too_big")],
    "413 of a server between": ["later", () => portal(413)],
    "415": ["later", () => problem(415, "media_not_supported")],
    "422": ["later", () => problem(422, "unknown")],
    "426 update_first": ["update_first", () => problem(426, "update_first")],
    "429 later": ["later", () => problem(429, "later", {}, 7)],
    "500": ["later", () => problem(500, "server")],
    "502 of a server between": ["later", () => portal(502)],
    "503 later": ["later", () => problem(503, "later", {}, 7)],
    "507 photo_quota": ["later", () => problem(507, "photo_quota")],
  };
  test.each(Object.entries(answers))("%s", async (_name, [standing, answer]) => {
    const ids = await lose(5);
    between = (where) => (where === "push" ? answer() : null);
    for (let i = 0; i < 15; i += 1) {
      const round = await phone.round();
      if (i === 0) expect(round.standing).toBe(standing);
      expect((await phone.outbox.rows()).map(({ id }) => id)).toEqual(ids);
    }
    expect(await phone.outbox.waiting()).toMatchObject({ count: 5 });
    between = () => null;
    await rounds(5);
    expect(office.ids).toEqual(ids);
  });

  test("in two hundred days of all of them, the app being opened anew each week", async () => {
    const ids = await lose(5);
    const all = Object.values(answers);
    for (let day = 0; day < 200; day += 1) {
      time.now += 86_400_000;
      office.now += 86_400_000;
      const [, answer] = all[day % all.length] ?? ["", () => reset];
      // Some days all of the office is so, some days only what takes records.
      between = (where) => (where === "push" || day % 3 === 0 ? answer() : null);
      if (day % 7 === 0) phone.reopen();
      await phone.round();
      expect((await phone.outbox.rows()).map(({ id }) => id)).toEqual(ids);
      expect(await phone.outbox.waiting()).toMatchObject({ count: 5 });
    }
    expect(office.ids).toEqual([]);
    between = () => null;
    phone.reopen();
    await rounds(5);
    expect(office.ids).toEqual(ids);
    expect((await phone.outbox.rows()).map(({ id }) => id)).toEqual(ids);
  });

  test("the wait that the office asks for is told", async () => {
    await lose(1);
    between = (where) => (where === "push" ? problem(429, "later", {}, 7) : null);
    expect(await phone.round()).toMatchObject({ standing: "later", retryAfterS: 7 });
  });
});

describe("how much is sent at once", () => {
  test("two hundred, and in the end a word that nothing waits", async () => {
    await lose(450);
    await phone.round();
    expect(pushes).toEqual([200, 200, 50, 0]);
    await phone.round();
    expect(pushes).toHaveLength(4);
  });

  test("half of it after too much, down to one, and double after three that went well", async () => {
    await lose(60);
    between = (_, entries) => (entries.length > 12 ? problem(413, "too_big") : null);
    await phone.round();
    expect(pushes).toEqual([60, 0, 30, 15, 7, 7, 7, 14, 7, 7, 7, 14, 7, 7, 4, 0]);
    expect(office.ids).toHaveLength(60);
  });

  test("half of it after an answer that never came", async () => {
    await lose(8);
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    between = (where) => (where === "push" ? "silence" : null);
    for (const tries of [1, 2]) {
      const round = phone.round();
      await vi.waitUntil(() => pushes.length === tries);
      await vi.advanceTimersByTimeAsync(25_000);
      expect((await round).standing).toBe("no_net");
    }
    vi.useRealTimers();
    between = () => null;
    await phone.round();
    expect(pushes).toEqual([8, 4, 2, 2, 2, 2, 0]);
  });
});

describe("requirement 11: a bad record never stops the good ones", () => {
  const bad = { ...LOSS, body: { count: 1, fate: "died", cause: "POISON" } };
  const long = { ...LOSS, body: { count: 1, fate: "died", cause: "x".repeat(66_000) } };

  async function poisoned(at: number, among: number, draft = bad): Promise<string> {
    await lose(at);
    const { id } = await phone.write(draft);
    await lose(among - at - 1);
    return id;
  }

  test.each([0, 99, 199])("what is too long at place %i delays nothing", async (at) => {
    const id = await poisoned(at, 200, long);
    await phone.round();
    expect(pushes).toEqual([200, 0]);
    expect(office.ids).toHaveLength(199);
    const row = (await phone.outbox.rows()).find((one) => one.id === id);
    expect(row).toMatchObject({ state: "acked", outcome: { status: "kept_raw" } });
  });

  test.each([0, 99, 199])("what is turned down at place %i waits for a person", async (at) => {
    const id = await poisoned(at, 200);
    between = (_, texts) =>
      texts.some((text) => text.includes("POISON")) ? problem(400, "bad_envelope") : null;
    await phone.round();
    expect(office.ids).toHaveLength(199);
    const row = (await phone.outbox.rows()).find((one) => one.id === id);
    expect(row).toMatchObject({ state: "rescue", trouble: "refused" });
    expect(await phone.outbox.waiting()).toMatchObject({ count: 1 });
  });

  test("half of the good ones are through after a few calls, wherever the bad one stands", async () => {
    for (const at of [0, 50, 199]) {
      const before = office.ids.length;
      await poisoned(at, 200);
      const through: number[] = [];
      between = (where, texts) => {
        if (where === "push") through.push(office.ids.length - before);
        return texts.some((text) => text.includes("POISON")) ? problem(500, "server") : null;
      };
      await phone.round();
      expect(through.findIndex((count) => count >= 100)).toBeLessThanOrEqual(14);
    }
  });

  test("what an office of a later version can read is sent when the app is opened again", async () => {
    const id = await poisoned(2, 5);
    between = (_, texts) =>
      texts.some((text) => text.includes("POISON")) ? problem(400, "bad_envelope") : null;
    await rounds(3);
    expect(office.ids).toHaveLength(4);
    between = () => null;
    await rounds(2);
    expect(office.ids).toHaveLength(4);
    phone.reopen();
    await phone.round();
    expect(office.ids).toContain(id);
  });

  test.each([0, 99, 199])("over what the office fails at place %i, the others pass", async (at) => {
    const id = await poisoned(at, 200);
    between = (_, texts) =>
      texts.some((text) => text.includes("POISON")) ? problem(500, "server") : null;
    await rounds(14);
    expect(office.ids).toHaveLength(199);
    const row = (await phone.outbox.rows()).find((one) => one.id === id);
    expect(row).toMatchObject({ state: "queued" });
    pushes = [];
    await lose(3);
    await phone.round();
    expect(office.ids).toHaveLength(202);
    between = () => null;
    await rounds(2);
    expect(office.ids).toContain(id);
  });

  test("an office that is down for days makes no record suspicious", async () => {
    await lose(40);
    between = () => problem(500, "server");
    await rounds(40);
    between = () => null;
    pushes = [];
    await phone.round();
    expect((await phone.outbox.rows()).filter(({ trouble }) => trouble)).toEqual([]);
    expect(office.ids).toHaveLength(40);
  });
});

describe("what a phone says of itself", () => {
  test("what it still holds, and at the end that it holds nothing", async () => {
    const bodies: PushBody[] = [];
    const inner = office.fetch;
    const [first] = await lose(250);
    const spy = new TestPhone({
      time: { now: office.now },
      fetch: (path, init) => {
        if (path.endsWith("/push")) bodies.push(bodyOf(init) as PushBody);
        return inner(path, init);
      },
    });
    await spy.join();
    await spy.writeAll(Array.from({ length: 250 }, () => LOSS));
    await spy.outbox.know({ install: spy.install, persisted: true });
    await spy.round();
    expect(first).toBeDefined();
    expect(bodies.map(({ outbox }) => outbox.unsent)).toEqual([250, 50, 0]);
    expect(bodies[0]).toMatchObject({ persisted: true, install: spy.install, app: "2026.12.0" });
    expect(bodies[0]?.outbox).toMatchObject({ n_max: 250, photos: 0 });
  });

  test("what the office misses and the phone still has is sent again", async () => {
    const ids = await lose(5);
    await phone.round();
    office.drop(ids[2] ?? "");
    await lose(1);
    await phone.round();
    expect(office.ids).toContain(ids[2]);
  });
});
