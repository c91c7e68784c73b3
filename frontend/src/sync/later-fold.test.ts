import { beforeEach, expect, test } from "vitest";
import { recordOf } from "../log/planting-row";
import { refold, takeInOwn } from "../shelf/folding";
import { TwinOffice } from "../testing/office";
import { TestPhone } from "../testing/phones";
import { composed, penOf } from "./writing";

const BLOCK = "terrace-4";
const ROW = { number: 2, first: 13, holes: 12 };
const SEAT = "terrace-4.2";
const T2 = { id: "b-t2", label: "T2" };

let phone: TestPhone;

beforeEach(async () => {
  const time = new TwinOffice();
  const unheard = () => Promise.reject(new TypeError("no net"));
  phone = new TestPhone({ time: { now: time.now }, fetch: unheard });
  await phone.join();
  await phone.write({
    kind: "taken_on",
    about: ["b-t2"],
    body: { batch: T2, alive: 52, method: "full" },
  });
});

/** A tap on a hole, as the row's sheet saves it: its batch is folded later. */
async function taps(name: string): Promise<void> {
  const own = await phone.own();
  const draft = recordOf(BLOCK, ROW, { name, batch: "b-t2" });
  const pen = penOf(own, { person: "p-1", confirmed: true }, phone.clock, null);
  await phone.outbox.save(pen.now, composed([draft], pen));
  await takeInOwn(await phone.copy(), phone.outbox, ["b-t2"]);
}

async function planted(): Promise<unknown> {
  const [folded] = await (await phone.copy()).states(["b-t2"]);
  return (folded?.state as { ledger?: { planted?: number } }).ledger?.planted;
}

test("a tap folds its row at once, and leaves its batch stale on the disk", async () => {
  await taps("13");
  await taps("14");
  const copy = await phone.copy();
  const [row] = await copy.states([SEAT]);
  expect(Object.keys((row?.state as { positions: object }).positions)).toEqual(["13", "14"]);
  expect([await copy.stale(), await planted()]).toEqual([["b-t2"], 0]);
});

test("once taps rest the batch is folded, without the office, and that is told", async () => {
  await taps("13");
  await taps("14");
  phone.changes.length = 0;
  await phone.engine.fold();
  expect([await (await phone.copy()).stale(), await planted()]).toEqual([[], 2]);
  expect(phone.changes).toEqual([
    { copy: "copy-a", subjects: ["b-t2"], rows: false, outlook: false },
  ]);
  await phone.engine.fold();
  expect(phone.changes).toHaveLength(1);
});

test("a phone that joined nothing has nothing to fold", async () => {
  const blank = new TestPhone({ time: { now: 0 }, fetch: () => Promise.reject(new TypeError()) });
  await blank.engine.fold();
  expect(blank.changes).toEqual([]);
});

test("of many subjects each part is told as soon as it is folded", async () => {
  for (let n = 0; n < 45; n += 1) {
    const body = { batch: { id: `b-${n}`, label: `B${n}` }, alive: 10, method: "full" };
    const own = await phone.own();
    const pen = penOf(own, { person: "p-1", confirmed: true }, phone.clock, null);
    const draft = { kind: "taken_on", about: [`b-${n}`], body };
    await phone.outbox.save(pen.now, composed([draft], pen));
  }
  const copy = await phone.copy();
  const rows = await phone.outbox.rows(1);
  await copy.takeIn(rows);
  const told: string[][] = [];
  const all = await refold(copy, undefined, (part) => told.push([...part]));
  expect(told.map(({ length }) => length)).toEqual([20, 20, 5]);
  expect(told.flat()).toEqual(all);
  expect(await copy.states(told[0])).toHaveLength(20);
});
