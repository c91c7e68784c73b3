// @vitest-environment jsdom
import "fake-indexeddb/auto";
import { flushSync } from "svelte";
import { afterEach, expect, test, vi } from "vitest";
import type { Answer } from "../net/office";
import { forget } from "../shelf/kept";
import { Sheet } from "./sheet.svelte";

afterEach(forget);

test("an effect that loads a sheet asks once, whatever comes", async () => {
  const ask = vi.fn(async (): Promise<Answer<{ n: number }>> => {
    await new Promise((done) => setTimeout(done, 1));
    return { ok: true, data: { n: 1 } };
  });
  const sheet = new Sheet("any", ask);
  const end = $effect.root(() => {
    $effect(() => {
      void sheet.load();
    });
  });
  for (let turn = 0; turn < 20; turn += 1) {
    await new Promise((done) => setTimeout(done, 2));
    flushSync();
  }
  end();
  expect(sheet.data).toEqual({ n: 1 });
  expect(ask).toHaveBeenCalledTimes(1);
});
