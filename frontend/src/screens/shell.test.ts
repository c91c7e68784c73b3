// @vitest-environment jsdom
import { cleanup, render, screen, within } from "@testing-library/svelte";
import { afterEach, beforeAll, expect, test } from "vitest";
import { speech } from "../parts/speech.svelte";
import { PLAIN } from "../words/say";
import { book } from "./book.svelte";
import Strips from "./Strips.svelte";
import Top from "./Top.svelte";

const NURSERY = { id: "n", name: "Veshmere", zone: "Etc/GMT-10" };

function signedIn(role: string): void {
  book.who = { name: "Ola", role, person: "", nursery: NURSERY };
  book.house(NURSERY.zone);
}

beforeAll(async () => {
  await speech.speak("en");
});
afterEach(() => {
  cleanup();
  book.who = null;
  book.ping = null;
  speech.house = PLAIN;
});

test.each([
  [
    "grower",
    [
      ...["Stock", "Consignments", "Permits and rules", "Lists", "What if?", "Rooms"],
      ...["Season", "Trace", "Field", "Needs a look", "Reminders", "Labels"],
      ...["For the inspector", "People and phones", "Backup"],
    ],
  ],
  ["inspector", ["Stock", "Consignments"]],
  ["a role of a newer version", ["Stock", "Consignments"]],
])("a %s is offered the sheets that are open to them", (role, sheets) => {
  signedIn(role);
  render(Top, { sheet: "stock" });
  const nav = within(screen.getByRole("navigation"));
  expect(nav.getAllByRole("link").map(({ textContent }) => textContent.trim())).toEqual(sheets);
});

test("the demo clock tells no hour before the nursery's zone is known", () => {
  const ping = { epoch: "e", server_time: "2031-05-04T08:00:00.000Z", shifted: true };
  book.ping = ping as unknown as NonNullable<typeof book.ping>;
  const { unmount } = render(Strips);
  expect(screen.getByText("Demo clock. Not a real day.")).toBeTruthy();
  unmount();
  signedIn("grower");
  render(Strips);
  expect(screen.getByText(/^Demo clock: it is .+ \d\d:\d\d here\. Not a real day\.$/)).toBeTruthy();
});
