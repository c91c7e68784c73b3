import { describe, expect, test } from "vitest";
import { instant } from "../testing/entries";
import type { Instant } from "./entry";
import { NO_LINE, NO_TRAP, sheetDrafts, type LineAbout, type Paper, type TrapAbout } from "./sheet";

const at = (minute: number) => instant(minute) as Instant;
const PAPER: Paper = { by: "w1", from: at(0), until: at(30), photo: "photo-1" };
const SHEET = { by: "w1", photo: "photo-1" };
const line = (
  id: string,
  more: Partial<LineAbout["line"]> = {},
  about: object = {},
): LineAbout => ({
  ...{ id, alive: 50, check: null, plants: null, keeps: true },
  ...about,
  line: { ...NO_LINE, ...more },
});
const trap = (id: string, more: Partial<TrapAbout["trap"]> = {}): TrapAbout => ({
  ...{ id, check: "c-trap" },
  trap: { ...NO_TRAP, ...more },
});

describe("a sheet that is typed in", () => {
  test("makes one record a ticked line, by who wrote it, at hours between its two", () => {
    const drafts = sheetDrafts(
      PAPER,
      [
        line("a", { answer: "nothing" }, { check: "c-a" }),
        line("b"),
        line("c", { answer: "nothing" }, { plants: 20 }),
        line("d", { answer: "not_looked", why: "dark" }),
      ],
      [],
    );
    expect(drafts).toEqual([
      {
        ...{ kind: "looked", about: ["a"], occurredAt: at(15), byHand: true },
        body: { answer: "nothing", plants: 50, minutes: 15, check: "c-a", sheet: SHEET },
      },
      {
        ...{ kind: "looked", about: ["c"], occurredAt: at(30), byHand: true },
        body: { answer: "nothing", plants: 20, minutes: 15, sheet: SHEET },
      },
      {
        ...{ kind: "looked", about: ["d"], occurredAt: at(30), byHand: true },
        body: { answer: "not_looked", why: "dark", sheet: SHEET },
      },
    ]);
  });

  test("says what was found, what died, and holds where nobody knew what it was", () => {
    const found = line("a", { answer: "found", dead: 2, hold: true }, { alive: null });
    expect(
      sheetDrafts({ ...PAPER, photo: null }, [found], []).map(({ kind, body }) => [kind, body]),
    ).toEqual([
      ["looked", { answer: "found", minutes: 30, sheet: { by: "w1" } }],
      ["found", { suspicion: true, sheet: { by: "w1" } }],
      ["lost", { count: 2, fate: "died", kept: true, by_auditor: false, sheet: { by: "w1" } }],
    ]);
    const bare = sheetDrafts(PAPER, [line("a", { answer: "not_looked" })], []);
    expect(bare.map(({ body }) => body)).toEqual([{ answer: "not_looked", sheet: SHEET }]);
    const plain = line("a", { answer: "found", dead: 0, hold: false });
    expect(sheetDrafts(PAPER, [plain], []).map(({ kind }) => kind)).toEqual(["looked"]);
    const clean = line("a", { answer: "nothing", dead: 2, hold: true });
    expect(sheetDrafts(PAPER, [clean], []).map(({ kind }) => kind)).toEqual(["looked"]);
  });

  test("tells a trap that was read from one that could not be, and zero from no answer", () => {
    const drafts = sheetDrafts(
      PAPER,
      [],
      [
        trap("t1", { said: "empty", catches: { thrips: 3 } }),
        trap("t2", { said: "caught", catches: { thrips: 3, gnats: 0 } }),
        trap("t3", { said: "not_readable", why: "wet" }),
        { ...trap("t4", { said: "not_readable" }), check: null },
        trap("t5"),
      ],
    );
    const same = { replaced: false, sheet: SHEET };
    expect(drafts.map(({ about, body }) => [about[0], body])).toEqual([
      ["t1", { answer: "read", catches: [], check: "c-trap", ...same }],
      ["t2", { answer: "read", catches: [{ pest: "thrips", count: 3 }], check: "c-trap", ...same }],
      ["t3", { answer: "not_readable", catches: [], why: "wet", check: "c-trap", ...same }],
      ["t4", { answer: "not_readable", catches: [], ...same }],
    ]);
    expect(new Set(drafts.map(({ occurredAt }) => occurredAt))).toEqual(new Set([at(30)]));
  });

  test("that ends before it begins gives no minutes, and all of it happened as it began", () => {
    const turned = { ...PAPER, from: at(30), until: at(0) };
    const [looked] = sheetDrafts(turned, [line("a", { answer: "nothing" })], []);
    expect([looked?.occurredAt, looked?.body["minutes"]]).toEqual([at(30), 0]);
  });
});
