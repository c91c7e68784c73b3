/** Write `src/net/api.d.ts`: the types of the API, from the description that the office gives of it. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import openapiTypes, { astToString } from "openapi-typescript";

const TARGET = new URL("../src/net/api.d.ts", import.meta.url);
const python = process.env.PYTHON ?? "python";
const folder = mkdtempSync(join(tmpdir(), "types-"));
try {
  const described = join(folder, "openapi.json");
  execFileSync(
    python,
    ["-m", "django", "spectacular", "--format", "openapi-json", "--file", described],
    {
      cwd: new URL("../..", import.meta.url),
      env: {
        ...process.env,
        DJANGO_SETTINGS_MODULE: "config.settings",
        NURSERY_DATA: join(folder, "data"),
      },
      stdio: ["ignore", "ignore", "inherit"],
    },
  );
  const text = astToString(await openapiTypes(new URL(`file://${described}`)));
  writeFileSync(TARGET, `// Written by \`npm run types\` from the API's description.\n${text}`);
} finally {
  rmSync(folder, { recursive: true });
}
