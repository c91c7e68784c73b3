import { describe, expect, test } from "vitest";
import type { ProductBody } from "../../log/products";
import { bodyOf, figureOf, rateOf, typingOf, wrongOf, type Typing, type Wrong } from "./typing";

const OIL: ProductBody = {
  name: "Orrin white oil",
  active: "paraffin oil; soap",
  registration: "OR-1182",
  reentry_hours: 12.5,
  interval_days: 10,
  litres_per_m2: 0.2,
  per_litre: 1.125,
  unit: "g",
  licensed: true,
  cautions: "Harms bees.",
};
const row = (id: string, body: ProductBody) => ({ id, rev: 1, body });
const typed = (more: Partial<Typing>): Typing => ({ ...typingOf(null, "."), name: "Oil", ...more });

describe("a product's row", () => {
  test.each([".", ","])("opened and saved with the mark %s is the same row", (mark) => {
    expect(bodyOf(typingOf(OIL, mark), OIL)).toEqual(OIL);
  });

  test("keeps what its form does not show, and loses what was emptied", () => {
    const before = { ...OIL, since: "2031-03-01" };
    const typing = { ...typingOf(before, "."), cautions: " ", interval_days: "" };
    const rest: Record<string, unknown> = { ...before };
    delete rest["cautions"];
    delete rest["interval_days"];
    expect(bodyOf(typing, before)).toEqual(rest);
  });

  test("says its mix in millilitres", () => {
    expect(typingOf(OIL, ",").litres_per_m2).toBe("200");
    expect(bodyOf(typed({ litres_per_m2: "33,3" }), null)).toEqual({
      ...{ name: "Oil", litres_per_m2: 0.0333, unit: "mL", licensed: false },
    });
    expect(figureOf(typed({ per_litre: "1,5" }), "per_litre")).toBe(1.5);
  });

  test.each<[ProductBody, string]>([
    [OIL, "200 mL/m², 1,125 g/L"],
    [{ name: "Oil", per_litre: 2 }, "2 mL/L"],
    [{ name: "Oil" }, ""],
  ])("tells its rate: %o", (body, says) => {
    expect(rateOf(body, ",")).toBe(says);
  });
});

describe("what is wrong", () => {
  test.each<[string, Partial<Typing>, [keyof Typing, Wrong][]]>([
    ["nothing", {}, []],
    ["no name", { name: "  " }, [["name", "no_name"]]],
    ["a name of the list", { name: " orrin  WHITE oil" }, [["name", "twice"]]],
    ["a word for a figure", { reentry_hours: "half" }, [["reentry_hours", "no_figure"]]],
    ["below nought", { reentry_hours: "-1" }, [["reentry_hours", "no_figure"]]],
    ["nought hours", { reentry_hours: "0" }, []],
    ["a thousand or one", { litres_per_m2: "1.200" }, [["litres_per_m2", "two_ways"]]],
    ["half a day", { interval_days: "2.5" }, [["interval_days", "not_whole"]]],
    ["no mix", { litres_per_m2: "0" }, [["litres_per_m2", "no_nought"]]],
    ["no product", { per_litre: "0,0" }, [["per_litre", "no_nought"]]],
    [
      "two at once",
      { name: "", per_litre: "x" },
      [
        ["name", "no_name"],
        ["per_litre", "no_figure"],
      ],
    ],
  ])("%s", (_, more, expected) => {
    expect([...wrongOf(typed(more), [row("a", OIL)])]).toEqual(expected);
  });
});
