import { expect, test } from "vitest";
import { entry, instant } from "../testing/entries";
import { samplesOf } from "./labs";

const LAB = "Orrin plant laboratory";

test("a sample is on its way until a result names it, and the latest result is its state", () => {
  const taken = entry({
    id: 1,
    kind: "sampled",
    body: { sample: "S-03", plants: 1, laboratory: LAB, result_due: "2031-05-16" },
  });
  const other = entry({ id: 2, kind: "sampled", body: { sample: "S-04", plants: 2, test: "PCR" } });
  const result = (id: number, verdict: string, sample = "S-03") =>
    entry({ id, kind: "resulted", body: { sample, verdict } });
  expect(samplesOf([taken, other])).toEqual([
    {
      ...{ sample: "S-04", at: instant(2), about: ["b-1"], plants: 2, laboratory: null },
      ...{ test: "PCR", due: null, verdict: null },
    },
    {
      ...{ sample: "S-03", at: instant(1), about: ["b-1"], plants: 1, laboratory: LAB },
      ...{ test: null, due: "2031-05-16", verdict: null },
    },
  ]);
  const told = [
    result(4, "confirmed"),
    taken,
    result(3, "presumptive"),
    result(5, "negative", "S-99"),
  ];
  expect(samplesOf(told).map(({ verdict }) => verdict)).toEqual(["confirmed"]);
});
