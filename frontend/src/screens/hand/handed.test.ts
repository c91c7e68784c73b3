// @vitest-environment jsdom
/**
 * A phone in an inspector's hand, sheet by sheet. The lock is the app's own: the office is told
 * nothing of it and answers such a phone as before (`tests/api/test_access.py`).
 */
import { cleanup, render, screen } from "@testing-library/svelte";
import { afterEach, beforeAll, beforeEach, expect, test, vi } from "vitest";
import App from "../../App.svelte";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { SECTIONS } from "../file/sections";
import { handed } from "../handed.svelte";
import { phone } from "../phone.svelte";
import { here, routeOf } from "../route.svelte";
import { NAMES } from "../sheets";

const FILE = "/consignments/c-1/file";
const asked: string[] = [];

beforeAll(async () => {
  globalThis.scrollTo = () => undefined;
  await speech.speak("en");
  await Promise.all([speech.whole(), import("./Locked.svelte")]);
});
beforeEach(() => {
  asked.length = 0;
  // An office that does not answer: what is asked of it is what a sheet would show.
  vi.spyOn(book, "ask").mockImplementation((path: string) => {
    asked.push(path);
    return new Promise<never>(() => undefined);
  });
  vi.spyOn(phone, "rowsOf").mockReturnValue([]);
});
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
  handed.back();
  here.route = routeOf("");
});

/** Open an address, and wait until all that it asks of the office is the one file. */
async function opens(hash: string): Promise<void> {
  here.route = routeOf(hash);
  render(App);
  await screen.findByText("Read only. Nothing can be changed.");
  await screen.findByRole("heading", { level: 1 });
  await vi.waitFor(() => {
    expect(new Set(asked)).toEqual(new Set([FILE]));
  });
}

const EVERYWHERE = ["", "who", "no-such-sheet", ...NAMES];
/** Another consignment, and a question that there is none of. */
const ELSEWHERE = EVERYWHERE.map((name) => `#/${name}/c-2/alive`);

test.each(["", "#/", ...ELSEWHERE])(
  "at %s it shows the file that it was handed over with, and nothing else",
  async (hash) => {
    handed.over("c-1");
    await opens(hash);
    const titles = screen.getAllByRole("heading", { level: 1 });
    expect(titles.map(({ textContent }) => textContent)).toEqual(["Release file c-1"]);
    expect(screen.queryAllByRole("navigation")).toEqual([]);
    expect(screen.getAllByRole("button").map(({ textContent }) => textContent.trim())).toEqual([
      "Take back",
    ]);
  },
);

test.each(SECTIONS.map(({ name }) => name))(
  "its questions are asked of the same file, %s",
  async (term) => {
    handed.over("c-1");
    await opens(`#/file/c-2/${term}`);
  },
);

test("once it is taken back its people find every sheet where it was", async () => {
  handed.over("c-1");
  await opens("#/no-such-sheet");
  handed.back();
  await screen.findByText(speech.say("app.not_found"));
  expect(screen.queryByText("Read only. Nothing can be changed.")).toBeNull();
});
