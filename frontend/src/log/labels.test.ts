import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { alike, canonical, spoken } from "./labels";

interface Readings {
  canonical: [label: string, canonical: string][];
  alike: [one: string, other: string, alike: boolean][];
  spoken: [label: string, spoken: string][];
}

const READINGS = JSON.parse(readFileSync("../tests/vectors/labels.json", "utf8")) as Readings;

test.each(READINGS.canonical)("%j is written %j", (label, written) => {
  expect(canonical(label)).toBe(written);
});

test.each(READINGS.alike)("whether %j and %j are look-alikes: %j", (one, other, wanted) => {
  expect(alike(one, other)).toBe(wanted);
  expect(alike(other, one)).toBe(wanted);
});

test.each(READINGS.spoken)("%j is read aloud %j", (label, said) => {
  expect(spoken(label)).toBe(said);
});
