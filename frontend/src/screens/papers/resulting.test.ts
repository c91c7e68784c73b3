import { expect, test } from "vitest";
import type { Sample } from "../../log/labs";
import { allSamples, draftOf, NO_RESULT } from "./resulting";

const S03: Sample = {
  ...{ sample: "S-03", at: "2031-05-03T23:30:00.000Z", about: ["b-t4"], plants: 1 },
  ...{ laboratory: null, test: null, due: null, verdict: null },
};

test("a result is about the batches of its sample", () => {
  const form = { ...NO_RESULT, verdict: "confirmed" as const, pest: "blackfly", paper: " LB-9 " };
  expect(draftOf({ ...form, photos: ["p-1"] }, S03, {})).toEqual({
    ...{ kind: "resulted", about: ["b-t4"] },
    body: { sample: "S-03", verdict: "confirmed", pest: "blackfly", paper: "LB-9", photo: "p-1" },
  });
  const at = { occurredAt: "2031-05-16T00:20:00.000Z" as never };
  expect(draftOf({ ...NO_RESULT, verdict: "negative" }, S03, at)).toEqual({
    ...{ kind: "resulted", about: ["b-t4"], ...at },
    body: { sample: "S-03", verdict: "negative" },
  });
});

test("what the office alone told of is listed as well, each sample once and the latest first", () => {
  const told = (sample: string, batch: string, at: string, state = "in_transit") => ({
    ...{ sample, batch, at, state, laboratory: "Orrin" },
  });
  const found = allSamples(
    [S03],
    [
      told("S-03", "b-t4", "2031-05-03T23:30:00.000Z", "confirmed"),
      told("S-02", "b-t1", "2031-03-03T00:00:00.000Z", "negative"),
      told("S-04", "b-t1", "2031-06-03T00:00:00.000Z"),
      told("S-04", "b-t2", "2031-06-03T00:00:00.000Z"),
    ],
  );
  expect(found.map(({ sample, about, verdict }) => [sample, about, verdict])).toEqual([
    ["S-04", ["b-t1", "b-t2"], null],
    ["S-03", ["b-t4"], null],
    ["S-02", ["b-t1"], "negative"],
  ]);
});
