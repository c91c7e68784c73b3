/**
 * Fold the histories that stand on the input, one JSON a line, and print the states as bytes that
 * any program can compare: keys sorted, nothing between.
 *
 *     node tools/run.js src/testing/folds.ts < histories
 */
import { createInterface } from "node:readline";
import { batchJson } from "../log/batch";
import { read } from "../log/entry";
import * as fold from "../log/fold";
import { placeJson } from "../log/place";

interface History {
  readonly entries: readonly unknown[];
  readonly subjects: readonly string[];
  readonly growers: readonly string[];
}

for await (const line of createInterface({ input: process.stdin })) {
  const { entries: raws, subjects, growers } = JSON.parse(line) as History;
  const entries = raws.map(read).filter((entry) => entry !== null);
  const told = new Set(growers);
  const states = subjects.map((subject) => ({
    batch: batchJson(fold.batch(subject, entries, told)),
    place: placeJson(fold.place(subject, entries)),
  }));
  process.stdout.write(`${canonical({ read: entries.length, states })}\n`);
}

function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value);
  const pairs = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${pairs.map(([key, inner]) => `${JSON.stringify(key)}:${canonical(inner)}`).join(",")}}`;
}
