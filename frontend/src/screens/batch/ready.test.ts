// @vitest-environment jsdom
import "fake-indexeddb/auto";
import { cleanup, render, screen } from "@testing-library/svelte";
import { afterEach, beforeAll, describe, expect, test, vi } from "vitest";
import { speech } from "../../parts/speech.svelte";
import { forget, keep } from "../../shelf/kept";
import { book } from "../book.svelte";
import { ITEM, SEASON } from "../season/fixture";
import type { Item, Season, State } from "../season/shapes";
import Ready from "./Ready.svelte";
import { readyOf } from "./ready";

const NURSERY = { id: "n", name: "Veshmere", zone: "Etc/GMT-10" };

beforeAll(async () => {
  await speech.speak("en");
  speech.house = { zone: NURSERY.zone, mark: ".", today: SEASON.today };
});
afterEach(async () => {
  cleanup();
  vi.restoreAllMocks();
  book.who = null;
  await forget();
});

const withItem = (more: Partial<Item>): Season => ({ ...SEASON, items: [{ ...ITEM, ...more }] });
const inState = (state: State): Season => withItem({ readiness: { ...ITEM.readiness, state } });

describe("of a batch", () => {
  test("its group on the season sheet is told, alone or together with others", () => {
    expect(readyOf(SEASON, "b-2", true)).toEqual({
      item: ITEM,
      together: true,
      asOf: SEASON.today,
    });
    expect(readyOf(withItem({ batches: ["b-2"] }), "b-2", true)?.together).toBe(false);
  });

  test("that the sheet does not know nothing is told", () => {
    expect(readyOf(SEASON, "b-9", true)).toBeNull();
    expect(readyOf(null, "b-1", true)).toBeNull();
    expect(readyOf(withItem({ batches: undefined }), "b-1", true)).toBeNull();
  });

  test.each<[State, boolean]>([
    ["forecast", true],
    ["ready", true],
    ["waiting", false],
    ["not_enough", false],
    ["no_prior", false],
    ["no_minimum", false],
  ])("that is in state %s a phone tells: %s", (state, tells) => {
    expect(readyOf(inState(state), "b-1", false) !== null).toBe(tells);
    expect(readyOf(inState(state), "b-1", true)).not.toBeNull();
  });
});

const BIG = "Big enough about 10 JAN 2032, between 4 DEC and 20 FEB 2032.";

test("the office is asked, and a grower led to the season", async () => {
  book.who = { name: "G", role: "grower", person: "p", nursery: NURSERY };
  const asked = vi.spyOn(book, "ask").mockResolvedValue({ ok: true, data: SEASON });
  render(Ready, { id: "b-1", asks: true });
  expect(await screen.findByText(BIG)).toBeTruthy();
  expect(screen.getByText(/All of CQ-118 together, as of/)).toBeTruthy();
  expect(screen.getByRole("link").getAttribute("href")).toBe("#/season/con-1");
  expect(asked).toHaveBeenCalledExactlyOnceWith("/season");
});

test("a phone tells what it read last, and asks nobody", async () => {
  await keep("season", { at: "2031-07-30T00:00:00.000Z", data: SEASON });
  const asked = vi.spyOn(book, "ask");
  render(Ready, { id: "b-1", asks: false });
  expect(await screen.findByText(BIG)).toBeTruthy();
  expect(screen.queryByRole("link")).toBeNull();
  expect(asked).not.toHaveBeenCalled();
});

test("a phone that never read the season tells nothing", async () => {
  const { container } = render(Ready, { id: "b-1", asks: false });
  await new Promise((done) => setTimeout(done, 50));
  expect(container.textContent.trim()).toBe("");
});
