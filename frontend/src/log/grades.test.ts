import { expect, test } from "vitest";
import vectors from "../../../tests/vectors/grades.json";
import { entry } from "../testing/entries";
import { gradesOf } from "./grades";

test.each(vectors)("$name", ({ alive, gradings, left }) => {
  const entries = gradings.map(([a, b, c], i) =>
    entry({ kind: "graded", body: { a, b, c }, id: i + 1 }),
  );
  const other = entry({ kind: "graded", body: { a: 9, b: 9, c: 9 }, id: 90, about: ["b-2"] });
  const found = gradesOf("b-1", [...entries, other], alive);
  expect(found && [found.a, found.b, found.c]).toEqual(left);
});

test("a grading says who graded and when, and a correction takes its place", () => {
  const first = entry({ kind: "graded", body: { a: 3, b: 0, c: 0 }, id: 1 });
  const better = entry({ kind: "graded", body: { a: 2, b: 1, c: 0 }, id: 2, at: 1, corrects: 1 });
  expect(gradesOf("b-1", [better, first], 3)).toEqual({
    ...{ a: 2, b: 1, c: 0 },
    ...{ at: first.occurredAt, by: "p-1", entry: better.id },
  });
});

test("what a newer version wrote is not read", () => {
  const odd = entry({ kind: "graded", body: { a: 3, b: 0, c: 0 }, v: 9 });
  const looked = entry({ kind: "counted", body: { alive: 3, method: "full" }, id: 2 });
  expect(gradesOf("b-1", [odd, looked], 3)).toBeNull();
});
