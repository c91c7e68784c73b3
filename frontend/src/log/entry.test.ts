import { describe, expect, test } from "vitest";
import { raw } from "../testing/entries";
import { lineOf, read } from "./entry";

const SOUND = raw({ kind: "counted", body: { method: "full", alive: 54 } });
const LONG = "x".repeat(65);

describe("an envelope that is not sound is no entry", () => {
  test.each([
    ["no object", 7],
    ["a list", []],
    ["null", null],
    ["an id in capitals", { ...SOUND, id: "00000000-0000-7000-8000-00000000000A" }],
    ["a number for an id", { ...SOUND, id: 7 }],
    ["a kind with a path", { ...SOUND, kind: "a.b" }],
    ["no version", { ...SOUND, v: 0 }],
    ["a list for a body", { ...SOUND, body: [] }],
    ["an instant with microseconds", { ...SOUND, occurred_at: "2031-03-23T22:00:00.000000Z" }],
    ["an instant of another zone", { ...SOUND, occurred_at: "2031-03-23T22:00:00.000+10:00" }],
    ["30 February", { ...SOUND, occurred_at: "2031-02-30T22:00:00.000Z" }],
    ["month 13", { ...SOUND, occurred_at: "2031-13-01T22:00:00.000Z" }],
    ["a number for an instant", { ...SOUND, occurred_at: 7 }],
    ["hour 24", { ...SOUND, occurred_at: "2031-03-23T24:00:00.000Z" }],
    ["nothing to be about", { ...SOUND, about: [] }],
    ["too much to be about", { ...SOUND, about: Array.from({ length: 501 }, (_, n) => `b-${n}`) }],
    ["a number to be about", { ...SOUND, about: [7] }],
    ["a text to be about", { ...SOUND, about: "b-1" }],
    ["no author", { ...SOUND, author: "" }],
    ["a space in the author", { ...SOUND, author: "W 1" }],
    ["a long device", { ...SOUND, device: LONG }],
    ["no install", { ...SOUND, install: null }],
    ["number nought of an install", { ...SOUND, n: 0 }],
    ["a part of a number", { ...SOUND, n: 1.5 }],
    ["an offset beyond a day", { ...SOUND, offset_min: -1441 }],
    ["a text for what it is based on", { ...SOUND, based_on: "7" }],
    ["a text for the skew", { ...SOUND, skew_ms: "7" }],
    ["a correction of no id", { ...SOUND, corrects: "b-1" }],
  ])("%s", (_, given) => {
    expect(read(given)).toBeNull();
  });
});

describe("what is sound is an entry", () => {
  test("with what its maker said", () => {
    expect(read(SOUND)).toMatchObject({ kind: "counted", body: { alive: 54 }, confirmed: true });
    expect(read({ ...SOUND, confirmed: false })?.confirmed).toBe(false);
  });

  test("a leap day", () => {
    const on = (day: string) => read({ ...SOUND, occurred_at: `${day}T22:00:00.000Z` });
    expect(
      [on("2032-02-29"), on("2031-02-29"), on("2100-02-29"), on("2000-02-29")].map(Boolean),
    ).toEqual([true, false, false, true]);
  });

  test("what may be left out", () => {
    const left = ["offset_min", "based_on", "skew_ms", "corrects"];
    const least = Object.entries(SOUND).filter(([field]) => !left.includes(field));
    expect(read(Object.fromEntries(least))).not.toBeNull();
  });

  test("its line is known by its original", () => {
    const corrected = read({ ...SOUND, corrects: "00000000-0000-7000-8000-0000000000ff" });
    expect(corrected && lineOf(corrected)).toBe("00000000-0000-7000-8000-0000000000ff");
  });
});

describe("a body that nobody can read is kept and rests on nothing", () => {
  const body = (kind: string, given: object, v = 1) => read(raw({ kind, v, body: { ...given } }));
  const lost = { count: 3, fate: "died" };
  test.each([
    ["an unknown kind", "unheard_of", {}, 1],
    ["a word of the language itself", "constructor", {}, 1],
    ["a newer version", "lost", lost, 2],
    ["a field that lacks", "lost", { fate: "died" }, 1],
    ["a field that is null and must not be", "lost", { ...lost, count: null }, 1],
    ["fewer than none", "lost", { ...lost, count: -1 }, 1],
    ["more than there are", "lost", { ...lost, count: 100_000_001 }, 1],
    ["a choice that is none", "lost", { ...lost, fate: "eaten" }, 1],
    ["a text for a flag", "lost", { ...lost, kept: "yes" }, 1],
    ["a text too long", "noted", { text: "x".repeat(4001) }, 1],
    ["a NUL in a text", "noted", { text: "a\u0000" }, 1],
    ["half a character", "noted", { text: "\ud83d" }, 1],
    ["an empty name", "moved", { to: "" }, 1],
    ["a name too long", "moved", { to: LONG }, 1],
    ["a day that no calendar has", "booked", { act: "x", on: "2031-06-31" }, 1],
    ["a day of a week", "booked", { act: "x", on: "2031-W01-1" }, 1],
    ["a day that is a number", "booked", { act: "x", on: 20310101 }, 1],
    ["a figure beyond all bounds", "potted", { container: "pot", litres: 1e13 }, 1],
    ["a text for a figure", "potted", { container: "pot", litres: "2.5" }, 1],
    ["a record that is a list", "taken_on", { batch: [], alive: 3, method: "full" }, 1],
    ["an item that does not fit", "sent", { receiver: "x", plants: [{ id: "b-1" }] }, 1],
    ["a list that is none", "sent", { receiver: "x", plants: {} }, 1],
    ["a list beyond all bounds", "planted", { block: "k", positions: Array(20_001).fill("1") }, 1],
  ])("%s", (_, kind, given, v) => {
    expect(body(kind, given, v)).toMatchObject({ kind: "other", named: kind, unread: true });
  });

  test("a character beyond the first plane is one", () => {
    const named = (n: number) => body("moved", { to: "🌱".repeat(n) });
    expect(named(64)?.kind).toBe("moved");
    expect(named(65)?.kind).toBe("other");
    expect(named(200)?.kind).toBe("other");
  });

  test("a kind that no phone folds can be read", () => {
    expect(body("noted", { text: "wet" })).toMatchObject({ kind: "other", unread: false });
    expect(body("settled", { doubt: "x", reason: "y", plants: -2 })?.kind).toBe("settled");
  });
});
