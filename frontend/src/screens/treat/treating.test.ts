import { describe, expect, test } from "vitest";
import { spellOf } from "../../log/spell";
import { entry } from "../../testing/entries";
import { instantAt } from "../day";
import {
  amountsOf,
  blank,
  draftOf,
  licences,
  missingOf,
  offered,
  unreadOf,
  usedBefore,
  withUsed,
  type Treating,
} from "./treating";

const at = (day: string, hour: string) => instantAt(day, hour, "Etc/GMT-10");
const SPELL = spellOf({ day: "2031-05-17", sign: "16:20", start: "16:30", end: "16:50" }, at);
const NEVER = { signAt: null, startedAt: null, endedAt: null };
const FIRST: Treating = {
  ...blank(15, "."),
  product: "Neem oil 40 EC",
  active: "azadirachtin",
  registration: "OR-1182",
  batchNumber: "L-77",
  figures: { area: "15", mix: "200", rate: "1.5", hours: "12" },
  order: "Q-09",
  operator: "w2",
  licence: "AP-204",
  told: ["w1", "g"],
};

describe("a treatment", () => {
  test("of the story tells everything that its record asks for", () => {
    expect(missingOf(FIRST, SPELL)).toEqual([]);
    expect(amountsOf(FIRST)).toEqual({ litres: 3, product: 4.5 });
    expect(draftOf(FIRST, SPELL, ["q-room", "b-1"])).toEqual({
      kind: "treated",
      about: ["q-room", "b-1"],
      occurredAt: "2031-05-17T06:50:00.000Z",
      body: {
        product: "Neem oil 40 EC",
        started_at: "2031-05-17T06:30:00.000Z",
        ended_at: "2031-05-17T06:50:00.000Z",
        reentry_until: "2031-05-17T18:50:00.000Z",
        active: "azadirachtin",
        registration: "OR-1182",
        rate: "1.5 mL/L, 200 mL/m²",
        litres: 3,
        area_m2: 15,
        batch_number: "L-77",
        operator: "w2",
        licence: "AP-204",
        told: ["w1", "g"],
        sign_posted_at: "2031-05-17T06:20:00.000Z",
        order: "Q-09",
      },
    });
  });

  test("of which little is known says that, and is a record all the same", () => {
    const bare = { ...blank(null, ","), product: " Soap " };
    expect(missingOf(bare, { ...SPELL, signAt: null })).toEqual([
      ...["active", "registration", "mix", "rate", "operator", "licence", "told", "sign", "hours"],
    ]);
    expect(draftOf(bare, { ...SPELL, signAt: null }, ["q-room"])?.body).toEqual({
      product: "Soap",
      started_at: SPELL.startedAt,
      ended_at: SPELL.endedAt,
    });
  });

  test("without a product, a start or an end is none yet", () => {
    expect(draftOf({ ...FIRST, product: "" }, SPELL, [])).toBeNull();
    expect(draftOf(FIRST, NEVER, [])).toBeNull();
    expect(draftOf(FIRST, { ...SPELL, endedAt: null }, [])).toBeNull();
  });

  test("asks about a figure that can be read in two ways", () => {
    expect(unreadOf(FIRST)).toBeNull();
    expect(unreadOf({ figures: { rate: "1.250" } })).toBe("1.250");
    expect(unreadOf({ figures: { rate: "." } })).toBe(".");
  });
});

describe("a product that was used before", () => {
  const treated = (id: number, more: Record<string, unknown>) =>
    entry({
      id,
      kind: "treated",
      body: {
        product: "Neem oil 40 EC",
        started_at: SPELL.startedAt,
        ended_at: SPELL.endedAt,
        ...more,
      },
    });
  const first = draftOf(FIRST, SPELL, []);
  const told = [
    treated(1, { ...first?.body, licence: "AP-100" }),
    treated(2, { product: "Soap", rate: "20 g/L" }),
    treated(3, { ...first?.body }),
    treated(4, { product: "Copper", operator: "g" }),
  ];

  test("stands first where it was used last, as its label was typed", () => {
    expect(usedBefore(told).map(({ product }) => product)).toEqual([
      ...["Copper", "Neem oil 40 EC", "Soap"],
    ]);
    const [copper, neem, soap] = usedBefore(told);
    expect(neem).toEqual({
      ...{ product: "Neem oil 40 EC", active: "azadirachtin", registration: "OR-1182" },
      ...{ batchNumber: "L-77", hours: 12, rate: 1.5, mix: 200, unit: "mL" },
    });
    expect([copper?.hours, soap?.rate, soap?.unit]).toEqual([null, 20, "g"]);
    const form = neem && withUsed(blank(15, ","), neem, ",");
    expect(form?.figures).toEqual({ area: "15", mix: "200", rate: "1,5", hours: "12" });
    expect(soap && withUsed(FIRST, soap, ".").figures?.["hours"]).toBe("");
  });

  test("fills in what a row says, and where it is silent what was written last", () => {
    const body = {
      name: "Neem oil 40 EC",
      reentry_hours: 24,
      litres_per_m2: 0.1,
      unit: "g" as const,
    };
    const rows = [
      { id: "n", rev: 1, body },
      {
        id: "b",
        rev: 1,
        body: { name: "Bark oil", active: "oil", per_litre: 2, unit: "g" as const },
      },
      { id: "c", rev: 1, body: { name: "Copper", until: "2031-05-16" } },
    ];
    const found = offered(usedBefore(told), rows, "2031-05-17");
    expect(found.map(({ product }) => product)).toEqual(["Neem oil 40 EC", "Soap", "Bark oil"]);
    const [neem, , bark] = found;
    expect([neem?.hours, neem?.mix, neem?.rate, neem?.unit]).toEqual([24, 100, 1.5, "mL"]);
    expect([neem?.active, neem?.registration]).toEqual(["azadirachtin", "OR-1182"]);
    expect([bark?.active, bark?.rate, bark?.unit, bark?.hours]).toEqual(["oil", 2, "g", null]);
  });

  test("stands once, by whatever it was called, and rows of one name do too", () => {
    const rows = ["n", "m"].map((id) => ({ id, rev: 1, body: { name: "Neem oil 40 EC" } }));
    const both = [...told, treated(5, { product: "n" }), treated(6, { product: "neem oil 40 ec" })];
    const names = offered(usedBefore(both), rows, "2031-05-17").map(({ product }) => product);
    expect(names).toEqual(["Neem oil 40 EC", "Copper", "Soap"]);
  });

  test("was applied under the licence that the person had last", () => {
    expect([...licences(told)]).toEqual([["w2", "AP-204"]]);
  });
});
