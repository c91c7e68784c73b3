import { beforeEach, expect, test, vi } from "vitest";
import type { Tap } from "../../log/planting-row";
import { ShelfFault } from "../../shelf/handle";

/** What was handed to the phone, and how each of it ends. */
const begun: { name: string; end: (fault?: Error) => void }[] = [];
vi.mock("../phone.svelte", () => ({
  phone: {
    tap: (says: string) =>
      new Promise<void>((done, fail) => {
        begun.push({
          name: says,
          end: (fault) => {
            if (fault) fail(fault);
            else done();
          },
        });
      }),
  },
}));
vi.mock("../../parts/buzz", () => ({ buzz: () => undefined }));

const { Taps } = await import("./taps.svelte");
const ROW = { number: 2, first: 13, holes: 12 };
const tap = (name: string): Tap => ({ name, batch: "b-1" });
const names = () => begun.map(({ name }) => name);
const turn = () => new Promise((done) => setTimeout(done, 0));

beforeEach(() => {
  begun.length = 0;
});

test("a tap is on its way to the disk before anything is drawn", () => {
  const taps = new Taps("terrace-4", ROW);
  taps.tap(tap("13"), "13");
  expect([names(), taps.waiting.length]).toEqual([["13"], 1]);
});

test("quick taps are saved in their order, one at a time, and each counts at once", async () => {
  const taps = new Taps("terrace-4", ROW);
  for (const name of ["13", "14", "15"]) taps.tap(tap(name), name);
  expect([names(), taps.waiting.length]).toEqual([["13"], 3]);
  for (const [done, next] of [
    [0, ["13", "14"]],
    [1, ["13", "14", "15"]],
  ] as const) {
    begun[done]?.end();
    await turn();
    expect(names()).toEqual(next);
  }
  begun[2]?.end();
  await turn();
  expect([taps.waiting.length, taps.unkept]).toEqual([0, false]);
  taps.tap(tap("16"), "16");
  expect(names()).toHaveLength(4);
});

test("what the phone cannot keep is said, and the next tap is tried all the same", async () => {
  const taps = new Taps("terrace-4", ROW);
  taps.tap(tap("13"), "13");
  taps.tap(tap("14"), "14");
  begun[0]?.end(new ShelfFault("full"));
  await turn();
  expect([taps.unkept, names()]).toEqual([true, ["13", "14"]]);
  begun[1]?.end();
  await turn();
  expect([taps.unkept, taps.waiting.length]).toEqual([false, 0]);
});
