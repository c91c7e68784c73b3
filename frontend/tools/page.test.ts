import { readFileSync, readdirSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { page, signs } from "./page.ts";

const SRC = new URL("../src/", import.meta.url);

describe("the page", () => {
  const { handler } = page().transformIndexHtml as unknown as { handler: (html: string) => string };
  const BUILT = '<head><script type="module" crossorigin src="/a.js"></script></head><body></body>';

  test("is not drawn before its script ran", () => {
    expect(handler(BUILT)).toContain('crossorigin blocking="render" src="/a.js"');
  });

  test("holds every sign that a sheet names", () => {
    const held = new Set(
      [...handler(BUILT).matchAll(/id="sign-([a-z0-9-]+)"/g)].map(([, id]) => id),
    );
    const named = readdirSync(SRC, { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".svelte"))
      .flatMap((name) => [
        ...readFileSync(new URL(name, SRC), "utf8").matchAll(/<Sign name="([a-z0-9-]+)"/g),
      ])
      .map(([, id]) => id);
    expect(named.length).toBeGreaterThan(100);
    expect(named.filter((id) => !held.has(id))).toEqual([]);
  });

  test("holds them hidden, under ids of their own", () => {
    expect(signs('<svg>\n<symbol id="a"><path/></symbol>\n</svg>\n')).toBe(
      '<div hidden><svg><symbol id="sign-a"><path/></symbol></svg></div>',
    );
  });
});
