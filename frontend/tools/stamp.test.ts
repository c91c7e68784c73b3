import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { sources } from "./stamp";

test("the build takes the hash of sources as the install does", () => {
  const root = mkdtempSync(join(tmpdir(), "sources-"));
  try {
    mkdirSync(join(root, "src/__pycache__"), { recursive: true });
    writeFileSync(join(root, "b.html"), "ä\n");
    writeFileSync(join(root, "src/a.ts"), "1");
    writeFileSync(join(root, "src/__pycache__/x"), "never");
    // The same files and hash stand in tests/services/test_phone_app.py.
    expect(sources(root, ["src", "b.html"])).toBe(
      "92ac0417e168cb4073942d038c2dd26d3dd59551dab57364d98dfa6ceb2ae7cc",
    );
  } finally {
    rmSync(root, { recursive: true });
  }
});
