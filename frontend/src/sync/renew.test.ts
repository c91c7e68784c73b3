import { beforeEach, describe, expect, test } from "vitest";
import type { FeedLine } from "../testing/office";
import { TwinOffice } from "../testing/office";
import { TestPhone } from "../testing/phones";
import { LOSS } from "../testing/shelf";

let office: TwinOffice;
let phones: [TestPhone, TestPhone, TestPhone];
/** Called before each call of the first phone; may throw as a broken link does. */
let before: (where: string) => void;

beforeEach(async () => {
  office = new TwinOffice();
  before = () => undefined;
  const time = { now: office.now };
  const plain = () => new TestPhone({ time, fetch: office.fetch });
  const watched = new TestPhone({
    time,
    fetch: async (path, init) => {
      before(path.replace("/api/v1/sync/", "").split("?")[0] ?? "");
      return office.fetch(path, init);
    },
  });
  phones = [watched, plain(), plain()];
  for (const phone of phones) {
    await phone.join();
    await phone.round();
  }
});

async function lose(phone: TestPhone, count: number): Promise<void> {
  await phone.writeAll(Array.from({ length: count }, () => LOSS));
}

/** Two rounds of each: in the first it meets the book, in the second it hears of the others. */
async function sync(): Promise<void> {
  for (const phone of [...phones, ...phones]) await phone.round();
}

function written(): string[] {
  return phones
    .flatMap((phone) => phone.written)
    .map((text) => (JSON.parse(text) as { id: string }).id)
    .sort();
}

async function allHold(): Promise<void> {
  expect([...office.ids].sort()).toEqual(written());
  expect(new Set(office.ids).size).toBe(office.ids.length);
  for (const phone of phones) {
    expect((await phone.holds()).sort()).toEqual(written());
    expect(await (await phone.copy()).cursor()).toEqual({
      epoch: office.epoch,
      seq: office.feed.length,
    });
  }
}

/** What was kept is 12 entries of 21; 6 more were acknowledged after that, 3 never sent. */
async function restored(): Promise<FeedLine[]> {
  for (const phone of phones) await lose(phone, 4);
  await sync();
  const backup = office.backUp();
  await sync();
  for (const phone of phones) await lose(phone, 2);
  await sync();
  for (const phone of phones) await lose(phone, 1);
  return backup;
}

describe("requirement 7: a restored book that is older than the last answers", () => {
  test("everything that phones still hold returns by itself, and nothing twice", async () => {
    office.restore(await restored());
    expect(office.ids).toHaveLength(12);
    await sync();
    await allHold();
    expect(office.ids).toHaveLength(21);
  });

  test("what a tested backup holds phones have forgotten, and nothing else", async () => {
    await restored();
    for (const phone of phones) {
      expect((await phone.outbox.rows()).map(({ n }) => n)).toEqual([5, 6, 7]);
    }
  });

  test("restored twice from one backup everything still returns", async () => {
    const backup = await restored();
    office.restore(backup);
    await phones[0].round();
    office.restore(backup);
    await sync();
    await allHold();
  });

  test("restored once more in the middle of meeting it", async () => {
    const backup = await restored();
    office.restore(backup);
    let once = true;
    before = (where) => {
      if (where !== "pull" || !once) return;
      once = false;
      office.restore(backup);
    };
    await sync();
    await allHold();
  });

  test("after the meeting no number of the book before lets anything be forgotten", async () => {
    office.restore(await restored());
    await sync();
    await lose(phones[0], 1);
    await phones[0].round();
    expect(await phones[0].own()).toMatchObject({ durable: 0 });
    expect(await phones[0].outbox.rows()).toHaveLength(4);
  });

  test("a tested backup of the new book lets all of it be forgotten", async () => {
    office.restore(await restored());
    await sync();
    office.backUp();
    for (const phone of phones) await lose(phone, 1);
    await sync();
    for (const phone of phones) expect(await phone.outbox.rows()).toHaveLength(1);
  });

  test.each(["ping", "check", "pull", "push", "outlook"])(
    "broken off at each %s the meeting is begun again and ends well",
    async (broken) => {
      office.restore(await restored());
      let times = 3;
      before = (where) => {
        if (where !== broken || times === 0) return;
        times -= 1;
        throw new TypeError("Failed to fetch");
      };
      for (let i = 0; i < 3; i += 1) await phones[0].round();
      await sync();
      await allHold();
    },
  );

  test("what a screen wrote meanwhile is in the new copy", async () => {
    office.restore(await restored());
    const [phone] = phones;
    const writing: Promise<unknown>[] = [];
    before = (where) => {
      if (where === "pull" && writing.length === 0) writing.push(phone.write(LOSS));
    };
    await phone.round();
    await Promise.all(writing);
    await phone.round();
    await sync();
    await allHold();
  });
});

test("requirement 8: while no backup is tested nothing is forgotten, for thirty days", async () => {
  const [phone] = phones;
  await lose(phone, 5);
  for (let day = 0; day < 30; day += 1) {
    office.now += 86_400_000;
    await phone.round();
    expect(await phone.outbox.rows()).toHaveLength(5);
  }
});

test("a copy that somebody deleted is made anew, own records first", async () => {
  const [phone, other] = phones;
  await lose(other, 3);
  await other.round();
  await lose(phone, 2);
  await phone.round();
  await lose(phone, 1);
  await (await phone.copy()).destroy();
  await phone.round();
  expect((await phone.holds()).sort()).toEqual([...office.ids].sort());
  expect(await phone.states()).toEqual(["seen", "seen", "seen"]);
});

test("a copy that is lost while the book is restored meets both", async () => {
  office.restore(await restored());
  await (await phones[0].copy()).destroy();
  await sync();
  await allHold();
});
