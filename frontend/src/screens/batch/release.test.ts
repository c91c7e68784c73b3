import { expect, test } from "vitest";
import type { BatchView, Reason } from "../../net/views";
import { releaseWants } from "./release";
import type { Voice } from "./telling";

const reason = (code: string, number: number): Reason => ({ code, params: { number } });
const voice = {
  say: (key: string) => key,
  word: (key: string, params?: { number?: number }) => `${key} ${String(params?.number ?? "")}`,
} as unknown as Voice;
const batch = (clock: object, released: object | null = null): BatchView =>
  ({ released, holds: {}, outlook: { clock, held: [], doubts: [] } }) as unknown as BatchView;

test("a treatment that is planned is not asked to be planned", () => {
  const unmet = [reason("treatment_missing", 2), reason("inspection_missing", 1)];
  expect(releaseWants(batch({ unmet, only_if: reason("if_treated", 2) }), voice)).toEqual([
    "reason.if_treated 2",
    "reason.inspection_missing 1",
  ]);
  expect(releaseWants(batch({ unmet }), voice)[0]).toBe("reason.treatment_missing 2");
});

test("until when a visit stays good is told with what is wanted", () => {
  const lapses = [reason("inspection_lapses", 2)];
  expect(releaseWants(batch({ lapses }), voice)).toEqual(["reason.inspection_lapses 2"]);
  expect(releaseWants(batch({ lapses }, { at: "2031-11-24" }), voice)).toEqual([]);
});
