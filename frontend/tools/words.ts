/**
 * Cut each language in two: what the first route says, and all the rest, which comes right after.
 *
 * `?first` and `?rest` behind a language's file name its parts. A family of keys is the word before
 * the first point. What only the office's own pages say is in neither.
 */
import { readFileSync } from "node:fs";
import type { Plugin, Rollup } from "vite";

const FILE = /^(.*\/words\/\w+\.json)\?(first|rest)$/;

/** Families and single keys that the first route may say. The build stops where one is missing. */
const FIRST: ReadonlySet<string> = new Set([
  ...["app", "block", "button", "date", "hold_by", "home", "join", "keys", "list", "name", "nav"],
  ...["range", "sign_in", "span", "thumbs", "top", "who"],
  ...[
    "access.evening",
    "access.line",
    "arrive.line",
    "arrive.unknown_name",
    "mine.title",
    "papers.title",
    "planting.title",
    "scan.title",
    "room.line",
    "takeon.line",
    "raise.sow",
    "traps.title",
    "survey.title",
    "scouting.title",
  ],
]);
/** Said by pages that are no part of the app. */
const ELSEWHERE: ReadonlySet<string> = new Set(["trust"]);

export function words(): Plugin {
  return {
    name: "words",
    enforce: "pre",
    load(id) {
      const [, file, part] = FILE.exec(id) ?? [];
      if (file === undefined) return null;
      this.addWatchFile(file);
      const all = JSON.parse(readFileSync(file, "utf8")) as Record<string, unknown>;
      const some = Object.entries(all).filter(
        ([key]) => !ELSEWHERE.has(family(key)) && isFirst(key) === (part === "first"),
      );
      const code = `export default ${JSON.stringify(Object.fromEntries(some))}`;
      return { code, moduleType: "js" };
    },
  };
}

function isFirst(key: string): boolean {
  return FIRST.has(key) || FIRST.has(family(key));
}

function family(key: string): string {
  return key.slice(0, key.indexOf("."));
}

/** Keys that a piece of the first route names, and that come with the rest only. */
export function late(code: string, rest: Rollup.OutputChunk): string[] {
  const named = code.matchAll(/["'`]([a-z_]+\.[a-z_]+)["'`]/g);
  const keys = new Set([...named].map(([, key = ""]) => key));
  return [...keys].filter((key) => rest.code.includes(`"${key}":`));
}
