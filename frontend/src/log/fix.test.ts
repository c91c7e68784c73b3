import { describe, expect, test } from "vitest";
import { batchJson } from "./batch";
import { COUNTED, RECEIVED } from "../testing/batches";
import { idOf, raw, type Raw } from "../testing/entries";
import { read } from "./entry";
import { corrected, mayFix, takenBack, withdrawn } from "./fix";
import * as fold from "./fold";
import { history, type Line } from "./history";
import type { Draft } from "./write";

const LOSS: Raw = { id: 3, kind: "lost", body: { count: 2, fate: "died" } };

function lineOf(id: number, ...given: Raw[]): Line {
  const found = history(given.map(raw)).find(({ line }) => line === idOf(id));
  if (!found) throw new Error("no such line");
  return found;
}

/** How many live once drafts are written after the given entries, in their turn. */
function alive(given: Raw[], ...drafts: (Draft | null)[]): number | null {
  const more = drafts.map((draft, i) => {
    const made = raw({
      kind: draft?.kind ?? "",
      body: { ...draft?.body },
      id: 100 + i,
      at: 100 + i,
    });
    return {
      ...made,
      about: draft?.about,
      corrects: draft?.corrects ?? null,
      occurred_at: draft?.occurredAt ?? made["occurred_at"],
    };
  });
  const entries = [...given.map(raw), ...more].map(read).filter((one) => one !== null);
  return batchJson(fold.batch("b-1", entries)).alive;
}

test("a record is put right by who wrote it, and by the grower", () => {
  const line = lineOf(3, { ...LOSS, author: "p-1" });
  expect(
    [
      ["p-1", "worker"],
      ["p-2", "worker"],
      ["p-2", "grower"],
      ["p-2", null],
    ].map(([person, role]) => mayFix(line, person ?? "", role ?? null)),
  ).toEqual([true, false, true, false]);
});

describe("a correction", () => {
  const line = lineOf(3, LOSS);
  test("names the original, what its maker saw, and keeps the moment", () => {
    const draft = corrected(line, { count: 3, fate: "died" }, "mis_tap");
    expect(draft).toEqual({
      kind: "lost",
      about: ["b-1"],
      body: { count: 3, fate: "died", fix: "mis_tap", saw: idOf(3) },
      corrects: idOf(3),
      occurredAt: raw(LOSS)["occurred_at"],
      byHand: false,
    });
    expect(alive([RECEIVED, COUNTED, LOSS], draft)).toBe(51);
  });

  test("of a corrected record names the original and what stands of it", () => {
    const later: Raw = {
      id: 7,
      kind: "lost",
      body: { count: 4, fate: "died", fix: "x" },
      corrects: 3,
    };
    const draft = corrected(lineOf(3, LOSS, later), { count: 3, fate: "died" }, null);
    expect(draft).toMatchObject({ corrects: idOf(3), body: { count: 3, saw: idOf(7) } });
    expect(draft.body).not.toHaveProperty("fix");
  });

  test("keeps that a person had typed the hour", () => {
    const typed = { ...raw(LOSS), by_hand: true };
    const [one] = history([typed]);
    expect(one && corrected(one, {}, null).byHand).toBe(true);
  });
});

test("a withdrawal names the original, and its reason", () => {
  const draft = withdrawn(lineOf(3, LOSS), "other_batch");
  expect(draft).toEqual({
    kind: "withdrawn",
    about: ["b-1"],
    body: { fix: "other_batch", saw: idOf(3) },
    corrects: idOf(3),
  });
  expect(alive([RECEIVED, COUNTED, LOSS], draft)).toBe(54);
});

describe("taking back what was just written", () => {
  const base = [RECEIVED, COUNTED];
  const fixed: Raw = { id: 7, at: 3, kind: "lost", body: { count: 4, fate: "died" }, corrects: 3 };
  const gone: Raw = { id: 7, kind: "withdrawn", body: {}, corrects: 3 };
  test.each<[string, Raw[], number, number]>([
    ["a record takes it out of the account", [...base, LOSS], 3, 54],
    ["a correction lets stand what it corrected", [...base, LOSS, fixed], 7, 52],
    ["a withdrawal lets stand what it took back", [...base, LOSS, gone], 7, 52],
    [
      "a correction of a withdrawn record leaves it withdrawn",
      [...base, LOSS, gone, { ...fixed, id: 8 }],
      8,
      54,
    ],
  ])("%s", (_, given, id, expected) => {
    expect(alive(given, takenBack(idOf(id), given.map(raw)))).toBe(expected);
  });

  test("something that is not in the book does nothing", () => {
    expect(takenBack(idOf(50), base.map(raw))).toBeNull();
  });

  test("a correction whose record is not here withdraws it", () => {
    expect(takenBack(idOf(7), [fixed].map(raw))).toMatchObject({
      kind: "withdrawn",
      corrects: idOf(3),
    });
  });
});
