import { expect, test } from "vitest";
import type { Told } from "../../log/afield";
import { calledOf } from "./days.svelte";

const told = (more: Partial<Told>): Told => ({ id: "papaya", ...more }) as Told;

test("plants are called by their consignment or crop, and where an older office tells none by their id", () => {
  expect(calledOf(told({ name: "Papaya" }))).toBe("Papaya");
  expect(calledOf(told({}))).toBe("papaya");
});
