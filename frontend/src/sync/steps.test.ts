/** How lines become steps while they come: read beside the writing, and written one after the other. */
import { beforeEach, describe, expect, test, vi } from "vitest";
import { NoNet, type Wire } from "../net/sync";
import { Overtaken, type Advance, type Copy, type Cursor } from "../shelf/copy";
import type { Outbox } from "../shelf/outbox";
import { Fetcher, Gap } from "./pull";

let cursor: Cursor;
/** Where the copy stood after each step, and how many steps were ever under way at once. */
let steps: number[];
let most: number;
let shown: number;
/** What a step is to fail with: its number, from 0. */
let fails: number | null;

let writing: number;

const copy = {
  cursor: () => Promise.resolve(cursor),
  advance: async (step: Advance) => {
    writing += 1;
    most = Math.max(most, writing);
    await soon();
    writing -= 1;
    if (fails === steps.length) throw new Overtaken();
    cursor = step.cursor ?? cursor;
    steps.push(cursor.seq);
  },
} as unknown as Copy;
const outbox = {
  seen: () => Promise.resolve(),
  erased: () => Promise.resolve(),
} as unknown as Outbox;

beforeEach(() => {
  cursor = { epoch: "e1", seq: 0 };
  [steps, most, shown, writing, fails] = [[], 0, 0, 0, null];
});

function soon(): Promise<void> {
  return new Promise((done) => setTimeout(done, 5));
}

/** Lines of as many subjects, without those that are left out. */
function* page(count: number, subjects: number, without: readonly number[] = []) {
  yield JSON.stringify({ t: "begin", epoch: "e1" });
  for (let seq = 1; seq <= count; seq += 1) {
    if (without.includes(seq)) continue;
    const e = { about: [`b-${seq % subjects}`], author: "p-1", install: "i-2" };
    yield JSON.stringify({ t: "entry", seq, id: `l-${seq}`, e });
  }
  yield JSON.stringify({ t: "end", next: `e1:${count}`, more: false, count });
}

async function follows(lines: Iterable<string>, Kind = Fetcher): Promise<unknown> {
  const wire = {
    pull: async function* () {
      await soon();
      yield* lines;
    },
  } as unknown as Wire;
  const fetcher = new Kind(outbox, "i-1", () => {
    shown += 1;
    return soon();
  });
  return fetcher.run(wire, copy, "e1").then(
    () => null,
    (trouble: unknown) => trouble,
  );
}

const STEPS: [what: string, lines: number, subjects: number, steps: number[]][] = [
  ["that is short in one step", 30, 10, [30]],
  ["about little in few steps", 3000, 30, [40, 3000]],
  ["that is long in steps of some thousand lines", 10_100, 30, [40, 5040, 10_040, 10_100]],
  ["about much in steps of a thousand rows", 2700, 1100, [40, 1040, 2040, 2700]],
];

test.each(STEPS)("a page %s", async (_, lines, subjects, expected) => {
  expect(await follows(page(lines, subjects))).toBeNull();
  expect(steps).toEqual(expected);
  expect(shown).toBe(expected.length);
  expect(most).toBe(1);
});

test("on a slow link a step is begun as soon as there is a thousand for it", async () => {
  async function* slowly() {
    for (const line of page(3000, 30)) {
      if (line.includes("500,")) await soon().then(soon).then(soon).then(soon);
      yield line;
    }
  }
  expect(await follows(slowly() as unknown as Iterable<string>)).toBeNull();
  expect(steps).toEqual([40, 1040, 2040, 3000]);
});

test("a page that has no worker reads on once a step is written", async () => {
  vi.resetModules();
  vi.stubGlobal("document", {});
  const onAPage = await import("./pull");
  vi.unstubAllGlobals();
  let beside = 0;
  function* watched() {
    for (const line of page(3000, 30)) {
      beside += writing;
      yield line;
    }
  }
  expect(await follows(watched(), onAPage.Fetcher)).toBeNull();
  expect(steps).toEqual([40, 1040, 2040, 3000]);
  expect(beside).toBe(0);
  cursor = { epoch: "e1", seq: 0 };
  expect(await follows(watched())).toBeNull();
  expect(beside).toBeGreaterThan(0);
});

describe("what goes wrong beside the writing", () => {
  test("is thrown where it was the writing, and nothing is written after it", async () => {
    for (const number of [0, 1, 2]) {
      cursor = { epoch: "e1", seq: 0 };
      [steps, fails] = [[], number];
      expect(await follows(page(7000, 30))).toBeInstanceOf(Overtaken);
      expect(steps).toEqual([40, 5040].slice(0, number));
    }
  });

  test("waits for the step under way where a line is missing", async () => {
    expect(await follows(page(100, 10, [60]))).toBeInstanceOf(Gap);
    expect([steps, writing]).toEqual([[40], 0]);
  });

  test("loses nothing of what came where the link breaks", async () => {
    const cut = [...page(100, 10)].slice(0, 71);
    expect(await follows(cut)).toBeInstanceOf(NoNet);
    expect(steps).toEqual([40, 70]);
  });
});
