import { expect, test } from "vitest";
import { entry, idOf, type Raw } from "../testing/entries";
import { standing } from "./timeline";

const lost = (id: number, count: number, more: Partial<Raw> = {}): Raw => ({
  id,
  kind: "lost",
  body: { count, fate: "died" },
  ...more,
});
const withdrawn = (id: number, corrects: number): Raw => ({
  id,
  kind: "withdrawn",
  body: {},
  corrects,
});

/** Ids of what stands, in order. */
function ids(...given: Raw[]): string[] {
  return standing(given.map(entry)).entries.map(({ id }) => id);
}

const CASES: [string, Raw[], number[]][] = [
  ["an entry stands", [lost(2, 3)], [2]],
  ["the older happening comes first", [lost(3, 1, { at: 1 }), lost(2, 1, { at: 9 })], [3, 2]],
  [
    "of one moment the lesser id comes first",
    [lost(3, 1, { at: 1 }), lost(2, 1, { at: 1 })],
    [2, 3],
  ],
  ["a correction replaces its original", [lost(2, 3), lost(3, 1, { corrects: 2 })], [3]],
  [
    "of two corrections the greater id stands",
    [lost(2, 3), lost(4, 5, { corrects: 2 }), lost(3, 1, { corrects: 2 })],
    [4],
  ],
  ["a correction by a clock behind is passed over", [lost(5, 3), lost(3, 1, { corrects: 5 })], [5]],
  ["a withdrawn entry never happened", [lost(2, 3), withdrawn(3, 2)], []],
  [
    "a withdrawal may be corrected back",
    [lost(2, 3), withdrawn(3, 2), lost(4, 2, { corrects: 3 })],
    [4],
  ],
  ["a correction without its original stands", [lost(3, 1, { corrects: 9 })], [3]],
  ["a withdrawal of nothing is nothing", [withdrawn(3, 9)], []],
  ["a ring is one line", [lost(2, 1, { corrects: 3 }), lost(3, 2, { corrects: 2 })], [3]],
  [
    "what leads into a ring belongs to it",
    [lost(2, 1, { corrects: 3 }), lost(3, 2, { corrects: 2 }), lost(4, 3, { corrects: 2 })],
    [4],
  ],
  ["an entry that corrects itself is a ring of one", [lost(2, 1, { corrects: 2 })], [2]],
  [
    "a correction that cannot be read leaves its original",
    [lost(2, 3), lost(3, -1, { corrects: 2 })],
    [2],
  ],
  ["what nobody can read stands for itself", [lost(2, -3), lost(3, -1, { corrects: 2 })], [3]],
  [
    "a kind that no phone folds stands all the same",
    [
      { id: 2, kind: "noted", body: { text: "wet" } },
      { id: 3, kind: "noted", body: { text: "dry" }, corrects: 2 },
    ],
    [3],
  ],
];

test.each(CASES)("%s", (_, given, wanted) => {
  expect(ids(...given)).toEqual(wanted.map(idOf));
  expect(ids(...given.toReversed())).toEqual(wanted.map(idOf));
});

test("the subject of a line never changes", () => {
  const { entries } = standing(
    [lost(2, 3), lost(3, 1, { corrects: 2, about: ["b-9"] })].map(entry),
  );
  expect(entries[0]?.about).toEqual(["b-1"]);
});

test("of two entries with one id the same one stands whichever came first", () => {
  const [a, b] = [entry(lost(2, 3)), entry(lost(2, 4))] as const;
  expect(standing([a, b])).toEqual(standing([b, a]));
});
