import { batchJson } from "../src/log/batch";
import { read } from "../src/log/entry";
import * as fold from "../src/log/fold";

const ENTRIES = 5000;
const ROUNDS = 15;

/** Look-overs, counts and losses of one tray, every tenth one corrected. */
function history(): string[] {
  return Array.from({ length: ENTRIES }, (_, i) => {
    const id = (n: number) => `0199f2c4-0000-7000-8000-${n.toString(16).padStart(12, "0")}`;
    const kinds = [
      { kind: "looked", body: { answer: "nothing", plants: 53, minutes: 9.5, check: "weekly" } },
      { kind: "counted", body: { method: "cells_less_gaps", alive: 53, cells: 54, gaps: 1 } },
      { kind: "lost", body: { count: 0, fate: "died", cause: "stem rot", kept: true } },
    ];
    return JSON.stringify({
      id: id(i),
      v: 1,
      ...kinds[i % kinds.length],
      about: ["b-17"],
      occurred_at: new Date(1_930_000_000_000 + i * 60_000).toISOString(),
      offset_min: 600,
      by_hand: false,
      author: "p-9",
      confirmed: true,
      device: "d-4",
      install: "i-51",
      n: i + 1,
      based_on: 48_211,
      skew_ms: 120,
      corrects: i % 10 === 9 ? id(i - 3) : null,
      salt: "6f0c1d2e3f405162",
    });
  });
}

function best(work: () => void): number {
  let least = Infinity;
  for (let round = 0; round < ROUNDS; round += 1) {
    const start = performance.now();
    work();
    least = Math.min(least, performance.now() - start);
  }
  return least;
}

const texts = history();
const raws = texts.map((text) => JSON.parse(text) as unknown);
const entries = raws.map(read).filter((one) => one !== null);
const parse = best(() => {
  texts.forEach((text) => JSON.parse(text) as unknown);
});
const reading = best(() => {
  raws.forEach(read);
});
const folding = best(() => {
  batchJson(fold.batch("b-17", entries));
});
const ratio = (ms: number) => `${ms.toFixed(1)} ms = ${(ms / parse).toFixed(2)} x JSON.parse`;
console.log(`${ENTRIES} entries, best of ${ROUNDS}: JSON.parse ${parse.toFixed(1)} ms`);
console.log(`read ${ratio(reading)}; fold ${ratio(folding)}; both ${ratio(reading + folding)}`);
