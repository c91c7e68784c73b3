// @vitest-environment jsdom
import { cleanup, render, screen } from "@testing-library/svelte";
import { afterEach, beforeAll, describe, expect, test, vi } from "vitest";
import { axis, bedOf, monthsOf, place, shadeOf, texture, type Life } from "./bed";
import BedLine from "./BedLine.svelte";
import { speech } from "./speech.svelte";

/** The test's page has no layout to watch. */
class Unwatched {
  observe(): void {
    /* nothing changes its size */
  }
  unobserve(): void {
    /* as above */
  }
  disconnect(): void {
    /* as above */
  }
}

afterEach(cleanup);
beforeAll(async () => {
  vi.stubGlobal("ResizeObserver", Unwatched);
  await speech.speak("en");
});

describe("a bed", () => {
  const LIFE: Life = {
    began_on: "2031-03-03",
    opened_on: null,
    released_on: null,
    earliest_release: null,
    stage: "growing_on",
  };
  const TODAY = "2031-05-04";
  const parts = (more: Partial<Life>) =>
    bedOf({ ...LIFE, ...more }, TODAY).parts.map(
      ({ what, start, end }) => `${what} ${start} ${end}`,
    );

  test.each([
    ["without conditions grows until today", {}, [`grow 2031-03-03 ${TODAY}`]],
    [
      "in quarantine lasts until its earliest release",
      { opened_on: "2031-03-03", earliest_release: "2031-08-30" },
      ["quarantine 2031-03-03 2031-08-30"],
    ],
    [
      "that began before its clock shows what does not count",
      { opened_on: "2031-04-01" },
      ["lost 2031-03-03 2031-04-01", `quarantine 2031-04-01 ${TODAY}`],
    ],
    [
      "that was released toughens until today",
      { opened_on: "2031-03-03", released_on: "2031-04-20", stage: "toughening" },
      ["quarantine 2031-03-03 2031-04-20", `toughen 2031-04-20 ${TODAY}`],
    ],
    ["that is planted is field", { stage: "planted" }, [`field 2031-03-03 ${TODAY}`]],
  ])("%s", (_, more, wanted) => {
    expect(parts(more)).toEqual(wanted);
  });

  const WEEKS = { from: "2031-10-01", to: "2031-11-15" };
  const FIELD = "field 2031-10-01 2031-11-15";
  test.each<[string, Partial<Life>, string[]]>([
    ["grows on to them", {}, ["grow 2031-03-03 2031-10-01", FIELD]],
    [
      "in quarantine grows on after its release",
      { opened_on: "2031-03-03", earliest_release: "2031-08-30" },
      ["quarantine 2031-03-03 2031-08-30", "grow 2031-08-30 2031-10-01", FIELD],
    ],
    [
      "released while they are open goes to the field",
      { opened_on: "2031-03-03", earliest_release: "2031-10-20" },
      ["quarantine 2031-03-03 2031-10-20", "field 2031-10-20 2031-11-15"],
    ],
    [
      "released after them does not",
      { opened_on: "2031-03-03", earliest_release: "2031-11-23" },
      ["quarantine 2031-03-03 2031-11-23"],
    ],
    [
      "that toughens goes on with it",
      { opened_on: "2031-03-03", released_on: "2031-04-20", stage: "toughening" },
      ["quarantine 2031-03-03 2031-04-20", "toughen 2031-04-20 2031-10-01", FIELD],
    ],
    [
      "that is planted is drawn as far as it is known",
      { stage: "planted" },
      [`field 2031-03-03 ${TODAY}`],
    ],
  ])("with planting weeks set: %s", (_, more, wanted) => {
    const { parts: drawn } = bedOf({ ...LIFE, ...more }, TODAY, { weeks: WEEKS, missed: [] });
    expect(drawn.map(({ what, start, end }) => `${what} ${start} ${end}`)).toEqual(wanted);
  });

  test("is drawn with its planting weeks open and those that are lost boarded up", () => {
    const missed = [{ from: "2031-06-01", to: "2031-06-20" }];
    const bed = bedOf(LIFE, TODAY, { weeks: WEEKS, missed });
    const { container } = render(BedLine, { bed, label: "T3" });
    expect(container.querySelectorAll(".gap")).toHaveLength(1);
    expect(container.querySelectorAll("path.boarded")).toHaveLength(1);
  });

  test("has a knot on the day on which its pots are full, within its axis and told in words", () => {
    const bed = { ...bedOf(LIFE, TODAY), full: "2032-01-24" };
    const { container } = render(BedLine, { bed, label: "T3" });
    expect(container.querySelectorAll("path.knot")).toHaveLength(1);
    expect(screen.getByRole("img").getAttribute("aria-label")).toContain("pots full 24 JAN");
    expect(axis([bed])).toEqual({ from: LIFE.began_on, to: "2032-01-24" });
    cleanup();
    const { container: bare } = render(BedLine, { bed: bedOf(LIFE, TODAY), label: "T3" });
    expect(bare.querySelectorAll("path.knot")).toHaveLength(0);
  });

  test("of several share one axis with its months", () => {
    const beds = [bedOf(LIFE, TODAY), bedOf({ ...LIFE, began_on: "2030-12-20" }, TODAY)];
    const span = axis(beds);
    expect(span).toEqual({ from: "2030-12-20", to: TODAY });
    expect(span && monthsOf(span).map(({ on }) => on)).toEqual(
      ["01", "02", "03", "04", "05"].map((month) => `2031-${month}-01`),
    );
    expect(span && [place(span.from, span, 100), place(span.to, span, 100)]).toEqual([0, 100]);
    expect(axis([])).toBeNull();
  });

  test("does not move its dots between visits", () => {
    const box = { x: 0, y: 0, width: 60, height: 30 };
    expect(texture("grow", box, "b-1").d).toBe(texture("grow", box, "b-1").d);
    expect(texture("grow", box, "b-1").d).not.toBe(texture("grow", box, "b-2").d);
    for (const what of ["lost", "quarantine", "toughen", "field"] as const) {
      expect(texture(what, box, "b-1").d).toMatch(/^M/);
    }
  });

  test("is told in words to who does not see it", () => {
    const bed = bedOf({ ...LIFE, opened_on: "2031-03-03", earliest_release: "2031-08-30" }, TODAY);
    render(BedLine, { bed, label: "T3" });
    const name = screen.getByRole("img").getAttribute("aria-label");
    expect(name).toBe("Bed line of T3: quarantine 3 MAR to 30 AUG; earliest release 30 AUG.");
  });
});

describe("laths follow the steps into the sun", () => {
  const shades = [
    { on: "2031-05-01", percent: 70 },
    { on: "2031-05-06", percent: 50 },
    { on: "2031-05-11", percent: 0 },
  ];
  const life = {
    ...{ began_on: "2031-03-03", opened_on: null, released_on: null, earliest_release: null },
    ...{ stage: "toughening", shades },
  };

  test("what grew before the first step is told apart from it", () => {
    const { parts } = bedOf(life, "2031-05-21");
    expect(parts.map(({ what, start, end }) => `${what} ${start} ${end}`)).toEqual([
      "grow 2031-03-03 2031-05-01",
      "toughen 2031-05-01 2031-05-21",
    ]);
  });

  test("each day has the shade of its step, and bare sky still shows that it is one", () => {
    const at = shadeOf({ what: "toughen", start: "2031-05-01", end: "2031-05-21", shades });
    expect([at(0), at(0.25), at(0.49), at(0.5), at(1)]).toEqual([0.7, 0.5, 0.5, 0.04, 0.04]);
  });

  test("plants that came under the cloth before anybody counted stand in full shade", () => {
    const late = [{ on: "2031-05-11", percent: 50 }];
    const at = shadeOf({ what: "toughen", start: "2031-05-01", end: "2031-05-21", shades: late });
    expect([at(0), at(0.5)]).toEqual([0.9, 0.5]);
  });

  test("without a step they thin out evenly", () => {
    const at = shadeOf({ what: "toughen", start: "2031-05-01", end: "2031-05-21" });
    expect([at(0), at(1)]).toEqual([0.72, 0.72 - 0.56]);
    const box = { x: 0, y: 0, width: 90, height: 18 };
    const drawn = texture("toughen", box, "T1").d;
    expect(texture("toughen", box, "T1", () => 0.9).d).not.toBe(drawn);
  });
});
