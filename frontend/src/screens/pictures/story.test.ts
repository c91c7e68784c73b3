import { describe, expect, test } from "vitest";
import { history } from "../../log/history";
import type { PhotoFact } from "../../shelf/photos";
import { between, byDay, isSeen, pairOf, stateOf, storyOf, viewsOf, type Told } from "./story";

const ZONE = "Etc/GMT-10";
const HASH = "ab".repeat(32);

let n = 0;

/** A record as it came: `at` is its day and hour in UTC. */
function record(kind: string, at: string, body: object, more: object = {}): object {
  n += 1;
  const id = `0199f2c4-0000-7000-8000-${String(n).padStart(12, "0")}`;
  return {
    ...{ id, v: 1, kind, about: ["b-1"], occurred_at: `${at}:00.000Z`, offset_min: 600 },
    ...{ by_hand: false, author: "p-1", confirmed: true, device: "d-1", install: "i-1", n },
    ...{ based_on: 1, skew_ms: 0, corrects: null, salt: "00", body, ...more },
  };
}

const photo = (name: string, at: string, shows: string | null = "whole_plant", more = {}): object =>
  record(
    "photographed",
    at,
    { photo: name, sha256: HASH, width: 1200, height: 1600, ...(shows === null ? {} : { shows }) },
    more,
  );

const fact = (id: string, more: Partial<PhotoFact> = {}): PhotoFact => ({
  ...{ id, subject: "b-1", shows: "whole_plant", takenAt: "2031-03-09T00:00:00.000Z" },
  ...{ bytes: 1, sha256: HASH, width: 1200, height: 1600, state: "kept", entry: "e-1", ...more },
});

const told = (name: string, state: Told["state"], came: string | null = null): Told => ({
  ...{ photo: name, sha256: HASH, state, came_at: came, sizes: [] },
});

const story = (
  raws: readonly object[],
  facts: readonly PhotoFact[] = [],
  there: readonly Told[] = [],
) => storyOf("b-1", history(raws), facts, there);

const here = (...names: string[]): Told[] => names.map((name) => told(name, "here"));

describe("the photos of a batch", () => {
  test("stand in order of time, whoever tells of them", () => {
    const found = story(
      [photo("late", "2031-05-09T01:00"), photo("early", "2031-03-09T01:00")],
      [fact("loose", { entry: null, takenAt: "2031-04-01T00:00:00.000Z" })],
    );
    expect(found.map((one) => one.photo)).toEqual(["early", "loose", "late"]);
    expect(found.map(({ author }) => author)).toEqual(["p-1", null, "p-1"]);
  });

  test("of this phone are those of this batch alone", () => {
    const other = fact("other", { entry: null, subject: "b-2" });
    const named = fact("named", { entry: "e-9" });
    expect(story([], [other, named])).toEqual([]);
  });

  test("are told with the act that they were taken for", () => {
    const [whole, wide, alone] = story([
      photo("a", "2031-03-09T01:00"),
      record("looked", "2031-03-09T01:00", { answer: "nothing", plants: 3 }),
      record("looked", "2031-03-09T01:00", { answer: "nothing" }, { author: "p-2" }),
      photo("b", "2031-03-10T01:00"),
      record("found", "2031-03-10T00:58", { suspicion: true, photos: ["b"] }),
      photo("c", "2031-03-11T01:00"),
      record("found", "2031-03-11T00:58", { suspicion: true, photos: [] }),
    ]);
    expect(whole?.acts).toEqual(["looked"]);
    expect(wide?.acts).toEqual(["found"]);
    expect(alone?.acts).toEqual([]);
  });

  test("of a sheet of paper are told with what was typed from it", () => {
    const [one] = story([
      photo("a", "2031-03-09T01:00"),
      record("lost", "2031-03-08T01:00", {
        ...{ count: 1, fate: "died", sheet: { by: "p-2", photo: "a" } },
      }),
    ]);
    expect(one?.acts).toEqual(["lost"]);
  });

  test("that were taken back are told and not shown", () => {
    const first = photo("a", "2031-03-09T01:00") as { id: string };
    const [one] = story(
      [first, record("withdrawn", "2031-03-09T02:00", {}, { corrects: first.id, author: "p-2" })],
      [fact("a")],
      here("a"),
    );
    expect(one && stateOf(one)).toBe("pictures.taken_back");
    expect(one?.by).toBe("p-2");
    expect(one && isSeen(one)).toBe(false);
  });

  test.each<[string, PhotoFact | null, Told | null, string, boolean]>([
    ["waits here for signal", fact("a"), null, "photo.in_record", true],
    [
      "has its record at the office",
      fact("a", { state: "described" }),
      null,
      "photo.described",
      true,
    ],
    ["is there and here", fact("a", { state: "sent" }), told("a", "here"), "photo.sent", true],
    ["is in a tested backup", fact("a", { state: "safe" }), told("a", "here"), "photo.safe", true],
    [
      ...(["was turned down", fact("a", { state: "described", refused: "photo_large" })] as const),
      ...([null, "photo.not_taken", true] as const),
    ],
    [
      ...([
        "was lost by its phone",
        fact("a", { state: "described", refused: "missing" }),
      ] as const),
      ...([told("a", "waiting"), "pictures.lost_here", false] as const),
    ],
    ["is on another phone", null, told("a", "waiting"), "pictures.waiting", false],
    ["is being drawn", null, told("a", "waiting", "2031-03-09T01:00"), "pictures.drawing", false],
    ["is at the office", null, told("a", "here", "2031-03-09T01:00"), "pictures.here", true],
    [
      ...(["cannot be read", fact("a", { state: "sent" })] as const),
      ...([told("a", "unreadable", "2031-03-09T01:00"), "pictures.unreadable", true] as const),
    ],
    ["is nowhere known of", null, null, "pictures.elsewhere", false],
  ])("one that %s says so", (_, mine, theirs, state, seen) => {
    const [one] = story(
      [photo("a", "2031-03-09T01:00")],
      mine ? [mine] : [],
      theirs ? [theirs] : [],
    );
    expect(one && stateOf(one)).toBe(state);
    expect(one && isSeen(one)).toBe(seen);
  });

  test("that no record names yet say so", () => {
    const [one] = story([], [fact("a", { entry: null })]);
    expect(one && stateOf(one)).toBe("photo.in_none");
  });
});

describe("two dates side by side", () => {
  const names = (raws: readonly object[], there: readonly Told[]) =>
    pairOf(story(raws, [], there), ZONE)?.map((one) => one.photo) ?? null;

  test("are the first and the last of the view that is asked for first", () => {
    const raws = [
      photo("under 1", "2031-03-01T01:00", "underside"),
      photo("whole 1", "2031-03-02T01:00"),
      photo("whole 2", "2031-04-02T01:00"),
      photo("whole 3", "2031-05-02T01:00"),
      photo("under 2", "2031-06-01T01:00", "underside"),
    ];
    const there = here("under 1", "whole 1", "whole 2", "whole 3", "under 2");
    expect(names(raws, there)).toEqual(["whole 1", "whole 3"]);
    expect(viewsOf(story(raws, [], there)).map(([view, { length }]) => [view, length])).toEqual([
      ["whole_plant", 3],
      ["underside", 2],
    ]);
    // What nobody can see is not put beside anything.
    expect(names(raws, here("under 1", "whole 1", "whole 2", "under 2"))).toEqual([
      "whole 1",
      "whole 2",
    ]);
    expect(names(raws, here("under 1", "whole 1", "under 2"))).toEqual(["under 1", "under 2"]);
  });

  test("are of different days, where a view has such", () => {
    const raws = [
      photo("whole 1", "2031-03-02T01:00"),
      photo("whole 2", "2031-03-02T02:00"),
      photo("tag 1", "2031-03-02T03:00", "T4-17"),
      photo("tag 2", "2031-03-05T03:00", "T4-17"),
    ];
    expect(names(raws, here("whole 1", "whole 2", "tag 1", "tag 2"))).toEqual(["tag 1", "tag 2"]);
    expect(names(raws.slice(0, 2), here("whole 1", "whole 2"))).toEqual(["whole 1", "whole 2"]);
  });

  test("are of any view, where none has two", () => {
    const raws = [
      photo("whole", "2031-03-02T01:00"),
      photo("label", "2031-03-04T01:00", "label"),
      photo("no view", "2031-03-05T01:00", null),
    ];
    expect(names(raws, here("whole", "label", "no view"))).toEqual(["whole", "no view"]);
  });

  test("want two", () => {
    expect(names([], [])).toBeNull();
    expect(names([photo("one", "2031-03-02T01:00")], here("one"))).toBeNull();
  });

  test("are so many days apart by the nursery's calendar", () => {
    // 13:59 in UTC is 23:59 there, and a minute later the next day.
    const [first, second] = story([photo("a", "2031-03-02T13:59"), photo("b", "2031-03-02T14:00")]);
    expect(first && second && between([first, second], ZONE)).toBe(1);
    expect(
      byDay(
        [first, second].filter((one) => one !== undefined),
        ZONE,
      ),
    ).toEqual([
      ["2031-03-02", [first]],
      ["2031-03-03", [second]],
    ]);
  });
});
