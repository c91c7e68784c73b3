/** A check in words: its name, with the block that it is about, and its figure. */
import type { Check, Colour } from "../../log/planting";
import { speech } from "../../parts/speech.svelte";
import { names } from "../names.svelte";

const HUNDRED = 100;

export const SIGNS: Readonly<Record<Colour, string>> = {
  go: "yes",
  wait: "wait",
  no: "no",
  cannot_tell: "cannot-tell",
};
export const TONES: Readonly<Record<Colour, string>> = {
  go: "go",
  wait: "wait",
  no: "stop",
  cannot_tell: "wait",
};

export function colourSaid(colour: Colour): string {
  return speech.say(`planting.colour.${colour}`);
}

export function nameOf({ what, block }: Check): string {
  const check = speech.word(`day_check.${what}`) ?? what;
  return block === null
    ? check
    : speech.say("planting.at", { check, block: names.of("place", block) });
}

/** What is known, or that nobody knows. */
export function figureOf({ what, colour, params }: Check): string {
  const holes = what === "dry_spell" ? inPercent(params) : params;
  const given = { ...holes, n: holes["value"] ?? holes["weeks"] };
  const odds = "years" in params ? (params["invented"] === true ? ".invented" : ".odds") : "";
  const keys =
    colour === "cannot_tell"
      ? [`planting.unknown.${what}`]
      : [`planting.says.${what}.${colour}`, `planting.says.${what}${odds}`];
  return keys.map((key) => speech.word(key, given)).find((text) => text !== null) ?? what;
}

function inPercent(shares: Check["params"]): Check["params"] {
  const whole = Object.entries(shares).map(([name, share]): [string, unknown] => [
    name,
    typeof share === "number" && name !== "years" ? Math.round(share * HUNDRED) : share,
  ]);
  return Object.fromEntries(whole);
}
