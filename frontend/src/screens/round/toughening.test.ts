import { expect, test } from "vitest";
import type { Due } from "../../log/round";
import { checksDue } from "./toughening";

const due = (kind: string, subject: string, more: Partial<Due> = {}): Due => ({
  ...{ id: `${kind}-${subject}`, kind, subject, opens_at: "2032-02-05T00:00:00.000Z" },
  ...{ due_by: "2032-02-09T00:00:00.000Z", answered_by: null, skipped_by: null, ...more },
});
const NOW = "2032-02-06T00:00:00.000Z";

test("trays of one check stand together; what is done, to come or elsewhere is not asked", () => {
  const checks = [
    due("toughen_scorch", "t1"),
    due("toughen_scorch", "t2"),
    due("toughen_wilt", "t1"),
    due("toughen_scorch", "t3", { answered_by: "e-1" }),
    due("toughen_roots", "t1", { opens_at: "2032-02-07T00:00:00.000Z" }),
    due("look_over", "t1"),
    due("toughen_scorch", "elsewhere"),
  ];
  const done = (batch: string) => (batch === "t2" ? ["scorch"] : []);
  expect(checksDue(checks, ["t1", "t2", "t3"], NOW, done)).toEqual([
    { kind: "toughen_scorch", batches: ["t1"] },
    { kind: "toughen_wilt", batches: ["t1"] },
  ]);
});
