import { describe, expect, test } from "vitest";
import { listBody, listTyping, noLine, wrongList, type LineTyping } from "./checklists";
import { textOf } from "./facts";
import type { ListBody } from "./shapes";

const TODAY = "2031-03-03";
const TOP = { id: "top", says: [{ language: "en", text: "Top" }], plants: 4 };
const FOOT = {
  id: "foot",
  says: [
    { language: "en", text: "Foot" },
    { language: "es", text: "Pie" },
    { language: "fr", text: "Pied" },
  ],
};
const WEEKLY: ListBody = {
  ...{ name: "Weekly", version: 3, items: [TOP, FOOT], asked_at: "look_over" },
  since: TODAY,
};
const typed = (): ReturnType<typeof listTyping> => listTyping(WEEKLY, TODAY);
const line = (change: Partial<LineTyping>): LineTyping => ({ ...noLine(), ...change });

describe("a checklist as it is typed", () => {
  test("is the row that it was filled from, in the same version", () => {
    expect(listBody(typed(), WEEKLY)).toEqual({ ...WEEKLY, until: null });
  });

  test("with another name it is the same version, with other lines the next", () => {
    expect(listBody({ ...typed(), name: "Daily" }, WEEKLY).version).toBe(3);
    const { lines } = typed();
    expect(listBody({ ...typed(), lines: lines.slice(1) }, WEEKLY).version).toBe(4);
  });

  test("a new line has an id that no other has, and an empty one is left out", () => {
    const lines = [...typed().lines, line({ says: { en: "top", es: "" } }), noLine()];
    const more = line({ says: { en: "top", es: "" }, plants: "2" });
    const made = listBody({ ...typed(), lines: [...lines, more] }, WEEKLY);
    expect(made.items.map(({ id }) => id)).toEqual(["top", "foot", "top_2", "top_3"]);
    expect(made.items[3]).toMatchObject({ plants: 2 });
  });

  test("the first one is version 1", () => {
    const lines = [line({ says: { en: "", es: "Pie" } })];
    expect(listBody({ ...listTyping(null, TODAY), name: "New", lines }, null)).toMatchObject({
      ...{ version: 1, since: TODAY },
      items: [{ id: "Pie", says: [{ language: "es", text: "Pie" }] }],
    });
  });

  test.each([
    [[noLine()], { field: "items", value: null, says: "rows.no_lines" }],
    [[line({ plants: "3" })], { field: "line-0-says", value: null }],
    [
      [line({ says: { en: "Top", es: "" }, plants: "0" })],
      { field: "line-0-plants", value: "0", says: "rows.odd_plants" },
    ],
    [
      [noLine(), line({ says: { en: "Top", es: "" }, plants: "some" })],
      { field: "line-1-plants", value: "some", says: "rows.odd_plants" },
    ],
    [[line({ says: { en: "Top", es: "" } })], null],
  ])("lines %j: %j", (lines, wrong) => {
    expect(wrongList({ ...typed(), lines }, [])).toEqual(wrong);
  });
});

test("a line is read in one's own language, else in the first that has it", () => {
  expect([textOf(FOOT.says, "es"), textOf(TOP.says, "es")]).toEqual(["Pie", "Top"]);
});
