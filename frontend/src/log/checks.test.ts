import { expect, test } from "vitest";
import { entry } from "../testing/entries";
import { answered } from "./checks";

test("a check is answered by a look, a trap read, or a reason, until that is withdrawn", () => {
  const done = [
    { id: 1, kind: "looked", body: { answer: "nothing", check: "weekly" } },
    { id: 2, kind: "trapped", body: { answer: "not_readable", check: "vent-2" } },
    { id: 3, kind: "skipped", body: { check: "row-3", reason: "screen replaced" } },
    { id: 4, kind: "looked", body: { answer: "nothing" } },
    { id: 5, kind: "looked", body: { answer: "nothing", check: "mistaken" } },
    { id: 6, kind: "withdrawn", body: {}, corrects: 5 },
    { id: 7, kind: "noted", body: { text: "wet" } },
  ].map(entry);
  expect([...answered(done)]).toEqual(["weekly", "vent-2", "row-3"]);
});
