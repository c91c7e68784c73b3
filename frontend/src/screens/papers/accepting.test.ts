import { describe, expect, test } from "vitest";
import { draftOf, isReady, NOTHING_ACCEPTED, weeksOpen, type Accepting } from "./accepting";

const accepted = (more: Partial<Accepting>): Accepting => ({
  ...NOTHING_ACCEPTED,
  ...{ reference: "P-31", photos: ["photo-1"] },
  ...more,
});

describe("an acceptance", () => {
  test.each<[Partial<Accepting>, boolean, Record<string, unknown>]>([
    [{ what: "potting" }, true, { what: "potting" }],
    [{ what: "moving_inside" }, true, { what: "moving_inside" }],
    [{ what: "week", weekOf: "2031-09-22" }, true, { what: "week", week_of: "2031-09-22" }],
    [{ what: "week" }, false, { what: "week", week_of: null }],
    [{ what: "person", person: "w2" }, true, { what: "person", person: "w2" }],
    [{ what: "person" }, false, { what: "person", person: "" }],
    [{ what: "other", words: " a second tap " }, true, { what: "a second tap" }],
    [{ what: "other", words: " " }, false, { what: "" }],
    [{ what: "" }, false, { what: "" }],
  ])("of %j may be saved: %s", (more, ready, says) => {
    const form = accepted(more);
    expect(isReady(form)).toBe(ready);
    expect(draftOf(form, ["b-1"], {})).toEqual({
      ...{ kind: "accepted", about: ["b-1"] },
      body: { reference: "P-31", photo: "photo-1", ...says },
    });
  });

  test("needs what its paper calls itself, and says where the picture is not there", () => {
    expect(isReady(accepted({ reference: " ", what: "potting" }))).toBe(false);
    const bare = draftOf(accepted({ what: "potting", photos: [] }), [], {});
    expect(bare.body).toEqual({ what: "potting", reference: "P-31" });
  });
});

test("a week is open where nobody looked, and nobody accepted that", () => {
  const check = (week: string, more = {}) => ({
    ...{
      kind: "look_over",
      subject: "b-1",
      answered_by: null,
      accepted_by: null,
      skipped_by: null,
    },
    ...{ due_by: `${week}T10:00:00.000Z`, params: { week_of: week } },
    ...more,
  });
  const checks = [
    check("2031-09-22"),
    check("2031-09-22", { subject: "b-2" }),
    check("2031-09-29", { answered_by: "e-1" }),
    check("2031-10-06", { accepted_by: "e-2" }),
    check("2031-10-13", { kind: "trap" }),
    check("2031-10-20", { subject: "b-9" }),
    check("2031-09-15"),
    check("2031-12-01"),
    check("2031-12-08", { skipped_by: "e-3" }),
    check("2031-09-08", { params: {} }),
  ];
  expect(weeksOpen(checks, ["b-1", "b-2"], "2031-11-20T00:00:00.000Z")).toEqual([
    ...["2031-12-08", "2031-09-22", "2031-09-15"],
  ]);
});
