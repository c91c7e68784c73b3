import { expect, test } from "vitest";
import { instant, raw, type Raw } from "../testing/entries";
import { formerLabels } from "./former";
import { history } from "./history";

const received: Raw = { id: 1, kind: "received", body: {} };
const relabelled = (id: number, old: unknown, fresh: unknown, more: Partial<Raw> = {}): Raw => ({
  ...{ id, kind: "relabelled", body: { old, new: fresh } },
  ...more,
});
const told = (...given: Raw[]) => formerLabels(history(given.map(raw)));

test("a batch that kept its label has borne no other", () => {
  expect(told()).toEqual([]);
  expect(told(received)).toEqual([]);
});

test("each label is told from when to when, the last one first", () => {
  expect(told(relabelled(9, "T1B", "T7"), received, relabelled(5, "T1", "T1B"))).toEqual([
    { label: "T1B", since: instant(5), until: instant(9) },
    { label: "T1", since: instant(1), until: instant(5) },
  ]);
});

test("of two at one moment the one that was written first comes first", () => {
  const both = [relabelled(5, "T1", "T2", { at: 5 }), relabelled(6, "T2", "T3", { at: 5 })];
  expect(told(received, ...both).map(({ label }) => label)).toEqual(["T2", "T1"]);
  expect(told(received, ...both.reverse()).map(({ label }) => label)).toEqual(["T2", "T1"]);
});

test("what was withdrawn, printed anew or cannot be read is no former label", () => {
  const gone: Raw = { id: 6, kind: "withdrawn", body: {}, corrects: 5 };
  expect(told(received, relabelled(5, "T1", "T1B"), gone)).toEqual([]);
  expect(told(received, relabelled(5, "T1", "t 01"))).toEqual([]);
  expect(told(received, relabelled(5, 7, "T1"), relabelled(6, "T1", null))).toEqual([]);
});
