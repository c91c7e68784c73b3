import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { Later } from "./later";

let folds = 0;
let later: Later;

beforeEach(() => {
  vi.useFakeTimers();
  folds = 0;
  later = new Later(() => {
    folds += 1;
  });
});

afterEach(() => {
  vi.useRealTimers();
});

/** Something that is being saved, until it is told to be over. */
function saving(subject: string): { over: () => Promise<void> } {
  let end = (): void => undefined;
  const work = new Promise<void>((done) => {
    end = done;
  });
  const during = later.during(subject, () => work);
  return {
    over: async () => {
      end();
      await during;
    },
  };
}

test("what quick taps are about is folded once, after the last of them", async () => {
  for (let tap = 0; tap < 5; tap += 1) {
    await later.during("b-t2", () => Promise.resolve());
    vi.advanceTimersByTime(300);
  }
  expect([folds, later.has("b-t2")]).toEqual([0, true]);
  vi.advanceTimersByTime(800);
  expect([folds, later.has("b-t2")]).toEqual([1, false]);
});

test("nothing is folded while something is still being saved", async () => {
  const slow = saving("b-t2");
  await later.during("b-t3", () => Promise.resolve());
  vi.advanceTimersByTime(5000);
  expect([folds, later.has("b-t3")]).toEqual([0, true]);
  await slow.over();
  vi.advanceTimersByTime(800);
  expect([folds, later.has("b-t2"), later.has("b-t3")]).toEqual([1, false, false]);
});

test("a tap that could not be kept is no reason to fold never", async () => {
  const tap = later.during("b-t2", () => Promise.reject(new Error("full")));
  await expect(tap).rejects.toThrow("full");
  vi.advanceTimersByTime(800);
  expect(folds).toBe(1);
});
