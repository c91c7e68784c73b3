import { expect, test } from "vitest";
import { blankSample, draftsOf } from "./sampling";

const AT = { id: "b-t4", prefix: "S-", find: "f-1" };
const leaves = { ...blankSample(), sample: "04", count: 3, part: "leaf_underside", test: " pcr " };

test("leaves taken leave the plants alive", () => {
  expect(draftsOf({ ...leaves, laboratory: "Orrin" }, AT)).toEqual([
    {
      ...{ kind: "sampled", about: ["b-t4"] },
      body: {
        ...{ sample: "S-04", plants: 3, whole: false, part: "leaf_underside", test: "pcr" },
        ...{ laboratory: "Orrin", found: "f-1" },
      },
    },
  ]);
});

test("whole plants leave the living count as well", () => {
  const whole = { ...leaves, whole: true, test: "", otherLaboratory: " Sarrow lab " };
  const [sampled, lost] = draftsOf({ ...whole, forFind: false }, AT);
  expect(sampled?.body).toEqual({
    ...{ sample: "S-04", plants: 3, whole: true, laboratory: "Sarrow lab" },
  });
  expect(lost).toEqual({
    ...{ kind: "lost", about: ["b-t4"] },
    body: { count: 3, fate: "sampled", cause: "S-04", kept: false, by_auditor: true },
  });
});

test("a result has a day by which it is due only where somebody says one", () => {
  const [taken] = draftsOf({ ...leaves, due: "2031-05-16" }, AT);
  expect(taken?.body).toMatchObject({ sample: "S-04", result_due: "2031-05-16" });
  expect(draftsOf(leaves, AT)[0]?.body).not.toHaveProperty("result_due");
});
