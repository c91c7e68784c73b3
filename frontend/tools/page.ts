/**
 * What the page itself holds, so that a cold start waits for nothing else.
 *
 * The drawn signs: a file of their own is asked for and parsed anew for each sign that the page did
 * not show before. And that nothing is drawn before the script ran: an empty frame takes a slow
 * phone as long as a full one.
 */
import { readFileSync } from "node:fs";
import type { Plugin } from "vite";

const SIGNS = new URL("../src/style/signs.svg", import.meta.url);

export function page(): Plugin {
  return {
    name: "page",
    transformIndexHtml: {
      order: "post",
      handler: (html) =>
        html
          .replace('<script type="module" crossorigin', '$& blocking="render"')
          .replace("</body>", `${signs()}</body>`),
    },
  };
}

/** Hidden, and each sign under an id that no sheet uses. */
export function signs(file = readFileSync(SIGNS, "utf8")): string {
  const named = file.replaceAll('<symbol id="', '<symbol id="sign-').replaceAll(/>\s+</g, "><");
  return `<div hidden>${named.trim()}</div>`;
}
