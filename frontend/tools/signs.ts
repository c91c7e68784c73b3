/**
 * The drawn signs stand in the page itself: a file of their own is asked for and parsed anew, while
 * a cold start waits, for each sign that the page did not show before.
 */
import { readFileSync } from "node:fs";
import type { Plugin } from "vite";

const FILE = new URL("../src/style/signs.svg", import.meta.url);

export function signs(): Plugin {
  return {
    name: "signs",
    transformIndexHtml: (page) => page.replace("</body>", `${sheet()}</body>`),
  };
}

/** Hidden, and each sign under an id that no sheet uses. */
export function sheet(file = readFileSync(FILE, "utf8")): string {
  const named = file.replaceAll('<symbol id="', '<symbol id="sign-').replaceAll(/>\s+</g, "><");
  return `<div hidden>${named.trim()}</div>`;
}
