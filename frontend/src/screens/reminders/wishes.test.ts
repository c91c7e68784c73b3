import { expect, test } from "vitest";
import { amiss, figureOf, hour, oddFigure, rowOf, typedOf, wishesOf, type Figure } from "./wishes";

test("a form begins with what is in force, else as it is shipped", () => {
  expect(typedOf({}, null)).toEqual({
    ...{ quietFrom: "20:00", quietTo: "06:30", at: "07:00", address: "" },
    ...{ push: true, mail: true, digestFrom: 3 },
    figures: { gap: "15", mail: "2", grower: "4", ends: "60", access: "36", trap: "14" },
  });
  const said = { quiet_from: "21:15", push: false, mail: false, digest_from: 10 };
  expect(typedOf(said, "a@b.example")).toMatchObject({
    ...{ quietFrom: "21:15", push: false, mail: false, digestFrom: 10, address: "a@b.example" },
  });
});

test.each([
  ["20:00", "20:00"],
  ["2000", "20:00"],
  ["630", "06:30"],
  [" 6.30 ", "06:30"],
  ["24:00", null],
  ["six", null],
  ["", null],
])("%s is the hour %s", (typed, told) => {
  expect(hour(typed)).toBe(told);
});

test("the field that cannot be sent is named", () => {
  const good = typedOf({}, "a@b.example");
  expect(amiss(good)).toBeNull();
  expect(amiss({ ...good, address: "" })).toBeNull();
  expect(amiss({ ...good, quietFrom: "25" })).toBe("quietFrom");
  expect(amiss({ ...good, quietTo: "x" })).toBe("quietTo");
  expect(amiss({ ...good, at: "7:99" })).toBe("at");
  expect(amiss({ ...good, address: "a b@c" })).toBe("address");
});

test("what nobody changed here is kept, and an address only where it is said", () => {
  const typed = { ...typedOf({}, " a@b.example "), quietFrom: "2130" };
  const before = { lead_days: { due_trap: 2 }, address: "old@b.example" };
  const kept = wishesOf(typed, before, { all: false, address: true });
  expect(kept).toMatchObject({ ...before, quiet_from: "21:30", address: "a@b.example" });
  expect(kept).not.toHaveProperty("at");
  expect(wishesOf(typed, {}, { all: true, address: false })).toMatchObject({ at: "07:00" });
  expect(wishesOf(typed, {}, { all: true, address: false })).not.toHaveProperty("address");
});

const figures = (of: Figure, text: string) => ({
  figures: { ...typedOf({}, null).figures, [of]: text },
});

test.each([
  ["gap", "0", 0],
  ["gap", " 240 ", 240],
  ["gap", "241", null],
  ["mail", "0", null],
  ["mail", "72", 72],
  ["access", "121", null],
  ["ends", "12345", null],
  ["trap", "1.5", null],
  ["trap", "", null],
] as const)("%s typed as %j is %s", (of, text, value) => {
  expect(figureOf(of, figures(of, text))).toBe(value);
  expect(oddFigure(figures(of, text), true)).toBe(value === null ? of : null);
});

test("of a person the gap alone is asked", () => {
  expect(oddFigure(figures("mail", "x"), false)).toBeNull();
  expect(oddFigure(figures("gap", "x"), false)).toBe("gap");
});

test("figures are sent where they belong, and the row only where one changed", () => {
  const typed = typedOf({ mail_after_hours: 3 }, null, { ends_days: 30 });
  expect(typed.figures).toMatchObject({ mail: "3", ends: "30" });
  const sent = wishesOf(typed, {}, { all: true, address: false });
  expect(sent).toMatchObject({ gap_minutes: 15, mail_after_hours: 3, grower_after_hours: 4 });
  expect(wishesOf(typed, {}, { all: false, address: false })).not.toHaveProperty(
    "mail_after_hours",
  );
  expect(rowOf(typed, { name: "V", ends_days: 30 })).toBeNull();
  expect(rowOf(typed, { name: "V", ends_days: 31 })).toEqual({
    ...{ name: "V", ends_days: 30, access_months: 36, trap_late_days: 14 },
  });
});
