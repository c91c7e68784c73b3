import { beforeEach, expect, test, vi } from "vitest";
import { forgetWriter, keepWriter, keptWriter, REST_MS } from "./writer";

const NOW = Date.parse("2031-03-08T08:00:00Z");
const ME = { person: "p-1", confirmed: true };
const put = vi.fn();

beforeEach(() => {
  const kept = new Map<string, string>();
  put.mockReset();
  put.mockImplementation((key: string, value: string) => kept.set(key, value));
  vi.stubGlobal("localStorage", { getItem: (key: string) => kept.get(key) ?? null, setItem: put });
  forgetWriter();
  put.mockClear();
});

test("quick taps keep who writes once, and whoever goes on writing is kept on", () => {
  keepWriter(ME, NOW);
  keepWriter(ME, NOW + 100);
  expect(put).toHaveBeenCalledTimes(1);
  keepWriter(ME, NOW + 6000);
  expect(keptWriter(NOW + 6000 + REST_MS - 1)).toEqual(ME);
  expect(keptWriter(NOW + 6000 + REST_MS)).toBeNull();
});

test("another who writes, and one who comes again, are kept at once", () => {
  keepWriter(ME, NOW);
  keepWriter({ ...ME, confirmed: false }, NOW + 1);
  expect(keptWriter(NOW + 1)).toEqual({ ...ME, confirmed: false });
  forgetWriter();
  expect(keptWriter(NOW + 2)).toBeNull();
  keepWriter({ ...ME, confirmed: false }, NOW + 3);
  expect(keptWriter(NOW + 3)).toEqual({ ...ME, confirmed: false });
});
