import { beforeEach, describe, expect, test } from "vitest";
import type { KeptBatch } from "../shelf/folding";
import { portal, problem, TwinOffice } from "../testing/office";
import { TestPhone } from "../testing/phones";
import { LOSS } from "../testing/shelf";

let office: TwinOffice;
let other: TestPhone;
let phone: TestPhone;
/** What the phone's answers to a pull become on their way. */
let onTheWay: (body: string) => Response;

const ARRIVAL = {
  kind: "received",
  about: ["b-1"],
  body: { consignment: "c-1", place: "r-1", batches: [{ id: "b-1", label: "T1" }] },
};
const COUNT = { kind: "counted", about: ["b-1"], body: { method: "full", alive: 54 } };

beforeEach(async () => {
  office = new TwinOffice();
  onTheWay = (body) => new Response(body, { headers: { "Content-Type": "application/x-ndjson" } });
  const time = { now: office.now };
  other = new TestPhone({ time, fetch: office.fetch });
  phone = new TestPhone({
    time,
    fetch: async (path, init) => {
      const response = await office.fetch(path, init);
      return path.includes("/pull") && response.ok ? onTheWay(await response.text()) : response;
    },
  });
  await other.join();
  await phone.join();
});

async function told(count: number): Promise<void> {
  await other.writeAll(Array.from({ length: count }, () => LOSS));
  await other.round();
}

/** Where the phone stands, and how many lines it has. */
async function stands(): Promise<[cursor: number | undefined, lines: number]> {
  const copy = await phone.copy();
  return [(await copy.cursor())?.seq, (await phone.holds()).length];
}

test("a tray stands in the pots that it was potted into, on every phone", async () => {
  await other.writeAll([
    {
      ...ARRIVAL,
      body: {
        ...ARRIVAL.body,
        batches: [{ id: "b-1", label: "T1", container: "liner tray", cells: 54 }],
      },
    },
    { kind: "potted", about: ["b-1"], body: { container: "2.5 L pot" } },
  ]);
  await other.round();
  await phone.round();
  const [one] = await (await phone.copy()).states(["b-1"]);
  const { container, cells } = one?.state as KeptBatch;
  expect([container, cells]).toEqual(["2.5 L pot", null]);
});

describe("a copy follows the feed", () => {
  test("from a snapshot, with rows of reference data, and folds what came", async () => {
    office.row("place", "r-1", { name: "Room 1" });
    await other.writeAll([ARRIVAL, COUNT, LOSS]);
    await other.round();
    expect((await phone.round()).standing).toBe("calm");
    const copy = await phone.copy();
    expect(await copy.rows()).toMatchObject([
      { type: "place", id: "r-1", body: { name: "Room 1" } },
    ]);
    const [state] = (await copy.states(["b-1"])).map(({ state }) => state as KeptBatch);
    expect(state).toMatchObject({ label: "T1", alive: 53, crop: null, consignment: "c-1" });
    expect(await stands()).toEqual([4, 3]);
    expect(phone.changes.some(({ rows }) => rows)).toBe(true);
  });

  test("a row that is gone is gone, and one that changed has changed", async () => {
    office.row("place", "r-1", { name: "Room 1" });
    office.row("place", "r-2", { name: "Room 2" });
    await phone.round();
    office.gone("place", "r-1");
    office.row("place", "r-2", { name: "Room two" });
    await phone.round();
    const rows = await (await phone.copy()).rows();
    expect(rows).toMatchObject([{ id: "r-2", body: { name: "Room two" } }]);
    expect(await stands()).toEqual([4, 0]);
  });

  test("what is set aside does not count until a mark releases it", async () => {
    await phone.writeAll([ARRIVAL, COUNT]);
    phone.error = 3 * 86_400_000;
    const row = await phone.write(LOSS);
    phone.error = 0;
    await phone.round();
    expect((await phone.outbox.rows())[2]).toMatchObject({ outcome: { status: "set_aside" } });
    const alive = async () =>
      ((await (await phone.copy()).states(["b-1"]))[0]?.state as KeptBatch).alive;
    expect(await alive()).toBe(54);
    office.release(row.id);
    await phone.round();
    expect(await alive()).toBe(53);
  });

  test("a text that was blanked leaves the copy whole", async () => {
    await told(3);
    office.feed = office.feed.map((line, i) => (i === 1 ? { ...line, text: "" } : line));
    await phone.round();
    expect(await stands()).toEqual([3, 2]);
  });

  test("what this phone wrote is shown before it is sent and counts once after", async () => {
    await phone.writeAll([ARRIVAL, COUNT, LOSS]);
    const alive = async () =>
      ((await (await phone.copy()).states(["b-1"]))[0]?.state as KeptBatch).alive;
    expect(await alive()).toBe(53);
    await phone.round();
    await phone.round();
    expect(await alive()).toBe(53);
    expect(await phone.states()).toEqual(["seen", "seen", "seen"]);
  });
});

describe("row and cursor move together", () => {
  test("cut at any line the phone goes on where it stood", async () => {
    await told(1);
    await phone.round();
    await told(230);
    const keep = [0, 1, 2, 40, 41, 80];
    for (const lines of keep) {
      onTheWay = (body) => cut(body, lines);
      expect((await phone.round()).standing).toBe("no_net");
      const [cursor, held] = await stands();
      expect(cursor).toBe(held);
    }
    onTheWay = (body) =>
      new Response(body, { headers: { "Content-Type": "application/x-ndjson" } });
    await phone.round();
    expect(await stands()).toEqual([231, 231]);
  });

  test("a long page is kept by the thousand, and shown from its first screenful on", async () => {
    await phone.round();
    await other.writeAll(Array.from({ length: 1100 }, (_, i) => ({ ...LOSS, about: [`b-${i}`] })));
    await other.round();
    const copy = await phone.copy();
    const seqs: (number | undefined)[] = [];
    const advance = copy.advance.bind(copy);
    copy.advance = async (...step) => {
      await advance(...step);
      seqs.push((await copy.cursor())?.seq);
    };
    await phone.round();
    expect(seqs).toEqual([40, 1040, 1100]);
    const shown = phone.changes.flatMap(({ subjects }) => subjects ?? []);
    expect(phone.changes.find(({ subjects }) => subjects?.length)?.subjects).toHaveLength(10);
    expect(new Set(shown).size).toBe(1100);
    expect(await copy.stale()).toEqual([]);
  });

  test("cut in the middle of a line that line has not come", async () => {
    await phone.round();
    await told(3);
    onTheWay = (body) => ndjson(body.slice(0, body.indexOf('"salt"') + 400));
    await phone.round();
    const [cursor, held] = await stands();
    expect(cursor).toBe(held);
    expect(held).toBeLessThan(3);
  });

  test("half a snapshot is no copy, and is begun again", async () => {
    await told(200);
    onTheWay = (body) => cut(body, 120);
    await phone.round();
    expect((await stands())[0]).toBeUndefined();
    onTheWay = ndjson;
    await phone.round();
    expect(await stands()).toEqual([200, 200]);
  });

  test("a page that says that it is whole and is not has not come", async () => {
    await told(5);
    onTheWay = (body) => ndjson(without(body, 2));
    expect((await phone.round()).standing).toBe("no_net");
    expect((await stands())[0]).toBeUndefined();
  });

  test("where a line is missing the copy is made anew beside the old one", async () => {
    await phone.round();
    await told(5);
    let once = true;
    onTheWay = (body) => {
      if (!once) return ndjson(body);
      once = false;
      return ndjson(without(body, 2));
    };
    expect((await phone.round()).standing).toBe("calm");
    expect(await stands()).toEqual([5, 5]);
    expect((await phone.own()).copy).toBe("copy-b");
    expect(phone.changes.some(({ subjects }) => subjects === null)).toBe(true);
  });

  test("whoever was overtaken by another tab moves nothing", async () => {
    await told(2);
    await phone.round();
    const copy = await phone.copy();
    const cursor = await copy.cursor();
    await told(2);
    await phone.round();
    const step = { lines: [], rows: [], gone: [], released: [], cursor };
    await expect(copy.advance(step, cursor ?? "")).rejects.toThrow("");
    expect(await stands()).toEqual([4, 4]);
  });
});

describe("requirement 28: online is an answer of the office with this phone's epoch", () => {
  test("a portal's page is no signal, whatever its status", async () => {
    onTheWay = () => portal();
    await told(2);
    expect((await phone.round()).standing).toBe("no_net");
    expect((await stands())[0]).toBeUndefined();
  });

  test("an app too old to read goes on sending", async () => {
    office.minPull = "2027.01.0";
    await phone.write(LOSS);
    expect(await phone.round()).toMatchObject({ standing: "update_first" });
    expect(office.ids).toHaveLength(1);
    expect(await phone.states()).toEqual(["acked"]);
  });

  test("an office that does not know the phone pauses it, and loses nothing", async () => {
    await phone.write(LOSS);
    office.known = false;
    expect(await phone.round()).toMatchObject({ standing: "sign_in", heardAt: null });
    expect(await phone.outbox.waiting()).toMatchObject({ count: 1 });
    office.known = true;
    await phone.round();
    expect(await phone.states()).toEqual(["seen"]);
  });

  test("a cursor that is too old begins with a snapshot", async () => {
    await told(2);
    await phone.round();
    await told(2);
    let expired = true;
    const inner = office.fetch;
    const late = new TestPhone({
      time: { now: office.now },
      fetch: (path, init) => {
        if (!expired || !path.includes("/pull?after")) return inner(path, init);
        expired = false;
        return Promise.resolve(problem(410, "cursor_expired"));
      },
    });
    await late.join();
    await late.round();
    await told(1);
    expired = true;
    expect((await late.round()).standing).toBe("calm");
    expect(await late.holds()).toHaveLength(5);
  });
});

function ndjson(body: string): Response {
  return new Response(body, { headers: { "Content-Type": "application/x-ndjson" } });
}

/** The first lines of an answer, and then a broken connection. */
function cut(body: string, lines: number): Response {
  const some = body.split("\n").slice(0, lines + 1);
  const bytes = new TextEncoder().encode(some.map((line) => `${line}\n`).join(""));
  let sent = false;
  const stream = new ReadableStream<Uint8Array>({
    pull: (control) => {
      if (sent) control.error(new TypeError("network error"));
      else control.enqueue(bytes);
      sent = true;
    },
  });
  return new Response(stream, { headers: { "Content-Type": "application/x-ndjson" } });
}

function without(body: string, line: number): string {
  return body
    .split("\n")
    .filter((_, i) => i !== line)
    .join("\n");
}
