// @vitest-environment jsdom
import { cleanup, render, screen } from "@testing-library/svelte";
import { afterEach, beforeAll, describe, expect, test } from "vitest";
import { batchJson, emptyBatch } from "../../log/batch";
import type { Line } from "../../log/history";
import type { BatchView, Outlook } from "../../net/views";
import { speech } from "../../parts/speech.svelte";
import { line, reading } from "../../testing/lines";
import { aliveInWords } from "./alive";
import Facts from "./Facts.svelte";
import { releaseWants } from "./release";
import { threeOf } from "./three";
import Three from "./Three.svelte";
import Wants from "./Wants.svelte";

afterEach(cleanup);
beforeAll(async () => {
  await speech.speak("en");
  speech.house = { zone: "Etc/GMT-10", mark: ".", today: "2031-05-04" };
});

const said = (batch: BatchView) => ({
  batch,
  three: threeOf(batch, [], "2031-05-04", "Etc/GMT-10"),
  asOf: "2031-05-04",
});
const CLOCK = { started_on: "2031-03-03", earliest: "2031-08-30", only_if: null, unmet: [] };
const OUTLOOK: Outlook = { clock: CLOCK, held: [], doubts: [], samples: [] };
const BATCH: BatchView = {
  ...batchJson(emptyBatch("b-4")),
  label: "T4",
  crop: null,
  consignment: null,
  container: null,
  cells: 54,
  one_of_parents: false,
  began_at: null,
  opened_on: null,
  released: null,
  doubts: [],
  outlook: OUTLOOK,
};
const ordered = { by: "order", reference: "EM-77", since: "x", provisional: false };
const missing = (number: number) => ({ code: "inspection_missing", params: { number } });

describe("the figure of a sheet", () => {
  const count = (at: string, alive: number, method = "full"): Line =>
    line(reading("counted", { alive, method }, { id: at, occurredAt: at }));
  const COUNT = count("2031-03-02T22:19:00.000Z", 54);
  test.each([
    ["that was counted tells when", 54, [COUNT], ["alive, counted MON 3 MAR"]],
    [
      "that follows from a count tells both",
      53,
      [COUNT],
      ["alive", "last counted", "MON 3 MAR: 54"],
    ],
    ["that was only estimated tells no count", 54, [count("x", 54, "estimate")], ["alive"]],
    ["that nobody counted tells no count", 54, [], ["alive"]],
  ])("%s", (_, alive, lines, words) => {
    expect(aliveInWords(alive, lines, speech)).toEqual(words);
  });
});

describe("an earliest release", () => {
  test("tells the hold, what it rests on and what is not met", () => {
    const onlyIf = {
      code: "if_treated",
      params: { number: 2, reference: "Q-1", on: "2031-05-20" },
    };
    const clock = { ...CLOCK, only_if: onlyIf, unmet: [missing(1), { code: "new", params: {} }] };
    const outlook = { ...OUTLOOK, held: [ordered], clock };
    expect(releaseWants({ ...BATCH, outlook }, speech)).toEqual([
      "The hold is lifted: order EM-77.",
      "If treatment 2 of order Q-1 is done on TUE 20 MAY.",
      "Official inspection 1 is missing. Ask for the visit.",
      "A record needs a look. Ask the person who wrote it.",
    ]);
  });

  test("wants nothing more once it is met, decided or unknown to the office", () => {
    const released = { notice: "RN-1", at: "2031-08-30T00:00:00.000Z" };
    const outlook = { ...OUTLOOK, held: [ordered] };
    expect(releaseWants(BATCH, speech)).toEqual([]);
    expect(releaseWants({ ...BATCH, outlook, released }, speech)).toEqual([]);
    expect(releaseWants({ ...BATCH, outlook: null }, speech)).toEqual([]);
  });

  test("never stands without the day on which it was told", () => {
    const outlook = { ...OUTLOOK, clock: { ...CLOCK, unmet: [missing(1), missing(2)] } };
    render(Three, said({ ...BATCH, outlook }));
    render(Wants, { batch: { ...BATCH, outlook } });
    expect(document.body.textContent).toContain("SAT 30 AUG");
    expect(screen.getByText("as of SUN 4 MAY")).toBeTruthy();
    expect(screen.getByText("Release only when all of this is met:")).toBeTruthy();
    expect(screen.getByText(/inspection 2 is missing/)).toBeTruthy();
  });

  test("that nobody can work out says so", () => {
    const clock = { ...CLOCK, earliest: null, unmet: [{ code: "permit_unknown", params: {} }] };
    render(Three, said({ ...BATCH, outlook: { ...OUTLOOK, clock } }));
    render(Wants, { batch: { ...BATCH, outlook: { ...OUTLOOK, clock } } });
    expect(screen.getByText("cannot tell")).toBeTruthy();
    expect(screen.getByText(/Type its conditions/)).toBeTruthy();
  });
});

describe("a sheet", () => {
  const sample = (state: string) => ({
    sample: "S-03",
    at: "2031-05-03T23:44:00.000Z",
    laboratory: "Orrin plant laboratory",
    find: null,
    state,
  });

  test("tells what lies in the officer's bag, by its fate", () => {
    render(Facts, { batch: { ...BATCH, bag: { died: 2, culled: 0 } } });
    expect(screen.getByText("Officer's bag")).toBeTruthy();
    expect(screen.getByText("2 dead")).toBeTruthy();
  });

  test("tells which labels it bore before, and from when to when", () => {
    const former = [
      { label: "T1", since: "2031-03-02T22:10:00.000Z", until: "2031-05-03T23:44:00.000Z" },
    ];
    render(Facts, { batch: BATCH, former });
    expect(screen.getByText("Former labels")).toBeTruthy();
    expect(screen.getByText("T1, MON 3 MAR to SUN 4 MAY")).toBeTruthy();
    cleanup();
    render(Facts, { batch: BATCH });
    expect(screen.queryByText("Former labels")).toBeNull();
  });

  test("has no bag where nothing is in it", () => {
    render(Facts, { batch: { ...BATCH, bag: { died: 0 } } });
    expect(screen.queryByText("Officer's bag")).toBeNull();
  });

  test.each([
    ["in_transit", "on its way"],
    ["negative", "negative"],
    ["a_new_word", "state of a newer version"],
  ])("tells a sample that is %s", (state, words) => {
    const outlook = { ...OUTLOOK, samples: [sample(state)] };
    render(Facts, { batch: { ...BATCH, outlook } });
    expect(screen.getByText("Sample S-03")).toBeTruthy();
    expect(screen.getByText("SUN 4 MAY, Orrin plant laboratory")).toBeTruthy();
    expect(screen.getByText(words)).toBeTruthy();
  });

  test.each([
    ["in_transit", null, "SUN 4 MAY, Orrin plant laboratory"],
    ["in_transit", "2031-05-04", "SUN 4 MAY, Orrin plant laboratory · result due SUN 4 MAY"],
    ["in_transit", "2031-05-03", / · result overdue since SAT 3 MAY. Ask the laboratory.$/],
    ["negative", "2031-05-03", "SUN 4 MAY, Orrin plant laboratory"],
  ])("says of a sample that is %s by which day its result is due, %s", (state, due, words) => {
    const outlook = { ...OUTLOOK, samples: [{ ...sample(state), result_due: due }] };
    render(Facts, { batch: { ...BATCH, outlook } });
    expect(screen.getByText(words)).toBeTruthy();
  });
});
