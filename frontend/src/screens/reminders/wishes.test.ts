import { expect, test } from "vitest";
import { amiss, hour, typedOf, wishesOf } from "./wishes";

test("a form begins with what is in force, else as it is shipped", () => {
  expect(typedOf({}, null)).toEqual({
    ...{ quietFrom: "20:00", quietTo: "06:30", at: "07:00", address: "" },
    ...{ push: true, mail: true, digestFrom: 3 },
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
