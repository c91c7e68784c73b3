import svelte from "eslint-plugin-svelte";
import tseslint from "typescript-eslint";
import svelteConfig from "./svelte.config.js";

const OUTSIDE = {
  log: "The log is pure: it gets values and gives values.",
  shelf: "The shelf keeps what it is given; it may know the log alone.",
  net: "The net fetches; it may know the log alone.",
  words: "Words know no screen and no data.",
  photo: "A picture is given and given back; keeping and showing it is others' work.",
  parts: "A part is given what it shows; fetching and keeping is a screen's work.",
};

/** Forbid imports by the folder that they lead to, with the reason. */
function layer(folder, forbidden, more = []) {
  return {
    files: [`src/${folder}/**/*.{ts,svelte}`],
    rules: {
      "no-restricted-imports": [
        "error",
        {
          patterns: [
            ...forbidden.map((name) => ({ group: [`**/${name}/*`], message: OUTSIDE[folder] })),
            ...more.map((name) => ({ group: [name], message: OUTSIDE[folder] })),
          ],
        },
      ],
    },
  };
}

const onlyShelf = { name: "indexedDB", message: "Only shelf/ opens the database." };
const onlyNet = { name: "fetch", message: "Only net/ speaks to the office." };

// Types make a component's check as long as all modules' together, since each one is a program of
// its own: `npm run lint:components` looks at them with types, `npm run lint` without.
const untyped = process.env["LINT_COMPONENTS"] ? ["**/*.js"] : ["**/*.js", "**/*.svelte"];

export default tseslint.config(
  { ignores: ["dist", "coverage", "src/net/api.d.ts", "node_modules"] },
  ...tseslint.configs.strictTypeChecked,
  ...tseslint.configs.stylisticTypeChecked,
  ...svelte.configs.recommended,
  {
    languageOptions: {
      parserOptions: { projectService: true, extraFileExtensions: [".svelte"] },
    },
    rules: {
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true }],
      "no-restricted-globals": ["error", onlyShelf, onlyNet],
      "max-lines": ["error", 300],
      "max-lines-per-function": ["error", { max: 40, skipComments: true, skipBlankLines: true }],
    },
  },
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: { parserOptions: { parser: tseslint.parser, svelteConfig } },
  },
  { files: untyped, ...tseslint.configs.disableTypeChecked },
  layer(
    "log",
    ["shelf", "net", "words", "parts", "screens"],
    ["idb", "svelte", "svelte/*", "../*"],
  ),
  layer("shelf", ["net", "words", "parts", "screens"], ["svelte", "svelte/*"]),
  layer("net", ["shelf", "words", "parts", "screens"], ["idb", "svelte", "svelte/*"]),
  layer("words", ["log", "shelf", "net", "parts", "screens"], ["idb", "svelte", "svelte/*"]),
  layer("photo", ["shelf", "net", "words", "parts", "screens"], ["idb", "svelte", "svelte/*"]),
  layer("parts", ["shelf", "net", "screens"], ["idb"]),
  {
    files: ["src/log/**/*.ts"],
    ignores: ["**/*.test.ts"],
    rules: {
      "no-restricted-globals": [
        "error",
        ...[
          "window",
          "document",
          "navigator",
          "localStorage",
          "indexedDB",
          "fetch",
          "Date",
          "Intl",
        ],
      ],
      complexity: ["error", 12],
    },
  },
  { files: ["src/shelf/**/*.ts"], rules: { "no-restricted-globals": ["error", onlyNet] } },
  {
    files: ["src/net/**/*.ts", "src/sw.ts"],
    rules: { "no-restricted-globals": ["error", onlyShelf] },
  },
  {
    files: ["**/*.test.ts"],
    rules: {
      "no-restricted-imports": "off",
      "no-restricted-globals": "off",
      "max-lines-per-function": "off",
    },
  },
);
