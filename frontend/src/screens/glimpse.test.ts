// @vitest-environment jsdom
import { beforeEach, describe, expect, test, vi } from "vitest";
import { BLANK } from "../shelf/row";
import { APP } from "../sync/app";
import { glimpse } from "./glimpse.svelte";
import { handed } from "./handed.svelte";
import { keptLines } from "./home/lines";
import { phone } from "./phone.svelte";
import { forgetWriter } from "./writer";

const OWN = {
  ...BLANK,
  ...{ install: "i-1", nursery: { id: "n-1", name: "Veshmere", zone: "UTC" } },
};
const PERSON = {
  ...{ type: "person", id: "p-1", rev: 1 },
  body: { name: "Davo", role: "worker", pin_hash: "5e", pin_salt: "7a", pin_rounds: 9 },
};
const kept = new Map<string, string>();

function writes(person: string): void {
  kept.set("writer", JSON.stringify({ person, confirmed: true, at: Date.now() }));
}

beforeEach(() => {
  kept.clear();
  vi.stubGlobal("localStorage", {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => kept.set(key, value),
  });
  Object.assign(phone, { own: null, writer: null, rows: [], fault: null });
  handed.consignment = null;
  glimpse.lines = null;
});

/** What the disk told is on the screen, and the app is left. */
function left(): void {
  const unsent = { count: 3, oldest: "2031-03-08T08:00:00Z" };
  const writer = { person: "p-1", confirmed: true };
  Object.assign(phone, { own: OWN, writer, rows: [PERSON], unsent });
  glimpse.over();
  Object.assign(phone, {
    ...{ own: null, writer: null, rows: [] },
    unsent: { count: 0, oldest: null },
  });
}

describe("the first sheet as it was last seen", () => {
  test("stands there for whoever wrote then, until the disk is read", () => {
    writes("p-1");
    left();
    expect(glimpse.take()).toBe(true);
    expect(phone.own).toEqual(OWN);
    expect(phone.unsent.count).toBe(3);
    expect(phone.role).toBe("worker");
    const shown = keptLines(glimpse.lines ?? []);
    expect(shown.map(({ sheet }) => sheet)).toContain("scan");
    expect(shown.every(({ says, sign }) => says.length > 0 && sign.length > 0)).toBe(true);
    glimpse.over();
    expect(glimpse.lines).toBeNull();
  });

  test("lies nowhere with anybody's PIN, nor once its writer was forgotten", () => {
    writes("p-1");
    left();
    expect(kept.get("glimpse")).toContain("Davo");
    expect(kept.get("glimpse")).not.toContain("pin_");
    forgetWriter();
    expect(kept.get("glimpse")).toBe("");
  });

  test.each([
    [
      "another writes",
      () => {
        writes("p-2");
      },
    ],
    ["nobody writes", () => kept.delete("writer")],
    [
      "an inspector has the phone in hand",
      () => {
        handed.consignment = "c-1";
      },
    ],
    [
      "another build kept it",
      () => {
        edit({ app: `${APP}-before` });
      },
    ],
    ["it cannot be read", () => kept.set("glimpse", "{")],
  ])("is not shown where %s", (_, change) => {
    writes("p-1");
    left();
    change();
    expect(glimpse.take()).toBe(false);
    expect(phone.own).toBeNull();
  });

  test("is forgotten with all else once the phone belongs to nobody", () => {
    writes("p-1");
    left();
    glimpse.over();
    expect(kept.get("glimpse")).toBe("");
  });

  test("stays as it is where the disk cannot be read", () => {
    writes("p-1");
    left();
    const before = kept.get("glimpse");
    phone.fault = "broken";
    glimpse.over();
    expect(kept.get("glimpse")).toBe(before);
  });
});

function edit(change: object): void {
  kept.set("glimpse", JSON.stringify({ ...JSON.parse(kept.get("glimpse") ?? ""), ...change }));
}
