// @vitest-environment jsdom
import { cleanup, render, screen } from "@testing-library/svelte";
import { afterEach, beforeAll, describe, expect, test } from "vitest";
import { batchJson, emptyBatch } from "../log/batch";
import { sentence } from "./account";
import Account from "./Account.svelte";
import DoubtLine from "./DoubtLine.svelte";
import { holdsInWords } from "./holds";
import { isHeld, openDoubts, shapeOf, stageSign, statuses } from "./look";
import { speech } from "./speech.svelte";
import Tag from "./Tag.svelte";
import Trouble from "./Trouble.svelte";
import Whole from "./Whole.svelte";

afterEach(cleanup);

beforeAll(async () => {
  await speech.speak("en");
});

const NONE = batchJson(emptyBatch("b-1")).ledger;
const ledger = (more: Partial<typeof NONE>) => ({ ...NONE, ...more });

describe("the account as a sentence", () => {
  const said = (more: Partial<typeof NONE>): string => {
    const words = ({ key, n }: { key: Parameters<typeof speech.say>[0]; n: number }) =>
      speech.say(key, { n });
    const { left, right } = sentence(ledger(more));
    return `${left.map(words).join(" + ")} = ${right.map(words).join(" + ")}`;
  };
  test.each([
    [{ in: 318, alive: 307, died: 7, sampled: 4 }, "318 in = 307 alive + 7 dead + 4 sampled"],
    [{ in: 54, alive: 53, difference: 1 }, "54 in = 53 alive + difference 1"],
    [{ mixed: -8, alive: 8 }, "8 by a lost label = 8 alive"],
    [{ in: 54, split: 8, alive: 46 }, "54 in = 46 alive + 8 split off"],
    [{ in: 54, sent: -2, alive: 56 }, "54 in + 2 came back = 56 alive"],
    [{ in: 54, alive: 53, settled: 1 }, "54 in = 53 alive + 1 accepted as missing"],
  ])("%j is %s", (more, words) => {
    expect(said(more)).toBe(words);
  });

  test("each figure leads to its records, and a difference is marked", () => {
    render(Account, {
      ledger: ledger({ in: 54, alive: 53, difference: 1 }),
      counted: true,
      link: (term: string) => `#/batch/b-1/${term}`,
      chosen: "alive",
    });
    const links = screen.getAllByRole("link");
    expect(links.map((link) => link.getAttribute("href"))).toEqual(
      ["in", "alive", "difference"].map((term) => `#/batch/b-1/${term}`),
    );
    expect(links[1]?.getAttribute("aria-current")).toBe("true");
    expect(links[2]?.hasAttribute("data-open")).toBe(true);
  });

  test("what nobody counted has no account", () => {
    render(Account, { ledger: NONE, counted: false, link: () => "#" });
    expect(screen.getByText("not counted yet")).toBeTruthy();
  });
});

describe("how a batch is drawn", () => {
  const WORN = { holds: {}, finds: [], released: null, closed: false, outlook: null };
  test.each([
    [{ one_of_parents: true, container: "pot" }, "mixed"],
    [{ container: "2.5 L pot" }, "pots"],
    [{ container: "tray", cells: 54 }, "tray"],
    [{}, "tray"],
  ])("%j is %s", (drawn, shape) => {
    expect(shapeOf(drawn)).toBe(shape);
  });

  test("wears its states, the gravest first", () => {
    const worn = { ...WORN, holds: { "Q-1": "x" }, finds: ["f"], released: {}, closed: true };
    expect(statuses(worn).map(({ code }) => code)).toEqual([
      "held",
      "suspect",
      "released",
      "closed",
    ]);
    expect(statuses(WORN)).toEqual([]);
  });

  test("is held by what the office worked out, in words and not in codes", () => {
    const held = [
      { by: "find", reference: "0199f2c4" },
      { by: "order", reference: "Q-1" },
      { by: "place_order", reference: "Q-1" },
      { by: "new_reason", reference: "N" },
    ];
    const worn = { ...WORN, holds: { "Q-1": "x", "Q-2": "x" }, outlook: { held } };
    expect(isHeld(worn)).toBe(true);
    expect(isHeld({ ...WORN, outlook: { held } })).toBe(true);
    expect(holdsInWords(worn)).toBe(
      "order Q-2, a find nearby, order Q-1 and a reason of a newer version",
    );
  });

  test.each([
    ["in the batch with the find", ["f-1"], [], "a find in it and order Q-1"],
    ["in the batch that was sampled for it", [], [{ find: "f-1" }], "a find in it and order Q-1"],
    ["in a batch beside it", [], [{ find: null }], "a find nearby and order Q-1"],
  ])("tells a find and its order once each, %s", (_, finds, samples, words) => {
    const held = [
      { by: "find", reference: "f-1" },
      { by: "order", reference: "Q-1" },
      { by: "place_order", reference: "Q-1" },
    ];
    const outlook = { held, samples };
    expect(holdsInWords({ ...WORN, finds, holds: { "Q-1": "x" }, outlook })).toBe(words);
  });

  test("never shows the id of an incident", () => {
    const id = "01c2ab52-9800-700c-82f6-382b75066a43";
    for (const by of ["find", "order", "place_order", "breach", "new_reason"]) {
      const outlook = { held: [{ by, reference: id }] };
      expect(holdsInWords({ ...WORN, outlook })).not.toContain(id);
    }
    expect(holdsInWords({ ...WORN, holds: { [id]: "x" } })).not.toContain(id);
  });

  test("shows what is not settled, and a sign for each stage", () => {
    const doubts = [
      { code: "a", settled_by: null },
      { code: "b", settled_by: "x" },
    ];
    expect(openDoubts(doubts)).toHaveLength(1);
    expect([stageSign("toughening"), stageSign("new"), stageSign(null)]).toEqual([
      "harden",
      "tray",
      "tray",
    ]);
  });

  test.each([
    ["tray", "tray T3"],
    ["mixed", "mixed batch T3"],
    ["pots", "batch T3"],
  ] as const)("a %s is called %s", (shape, name) => {
    render(Tag, { label: "T3", shape });
    expect(screen.getByRole("img", { name })).toBeTruthy();
  });
});

describe("what is said", () => {
  test("a reference stays whole where a line breaks", () => {
    const { container } = render(Whole, { text: "held (order EM-77)" });
    expect(container.textContent).toBe("held (order EM-77)");
    expect(container.querySelector("span")?.textContent).toBe("EM-77)");
  });

  test("a doubt has its sentence, its weight and its subject", () => {
    render(DoubtLine, {
      code: "difference",
      weight: "blocking",
      params: { plants: 1 },
      subject: "T3",
      href: "#/x",
    });
    expect(screen.getByText(/differ by 1/)).toBeTruthy();
    expect(screen.getByText("shuts the release")).toBeTruthy();
    expect(screen.getByRole("link", { name: "T3" })).toBeTruthy();
  });

  test("a doubt of a newer version is said all the same", () => {
    render(DoubtLine, { code: "new_code", weight: "note", params: {}, subject: "Room Q" });
    expect(screen.getByText(/needs a look/)).toBeTruthy();
    expect(screen.queryByRole("link")).toBeNull();
  });

  test.each([
    [{ why: "offline", at: null }, /nothing kept/],
    [{ why: "offline", at: "2031-05-04T08:00:00.000Z" }, /from SUN 4 MAY/],
    [{ why: "trouble", code: "500" }, /did not answer as expected \(500\)/],
    [{ why: "trouble", code: "later", detail: "Try at 9." }, /Try at 9/],
    [{ why: "signed_out" }, /not signed in/],
    [{ why: "missing" }, /no such sheet/],
  ] as const)("%j", (given, words) => {
    render(Trouble, { ...given, again: () => undefined });
    expect(screen.getByRole("status").textContent).toMatch(words);
  });
});
