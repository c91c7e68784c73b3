/**
 * Keep what the first screen needs in one file.
 *
 * Left to itself the build makes a file of each few lines that some later sheet needs as well, and
 * a phone on a slow link asks for two dozen files, each with a round trip of its own.
 */
import type { Plugin, Rollup } from "vite";

interface Modules {
  getModuleInfo(id: string): Rollup.ModuleInfo | null;
}

export function firstRoute(): Plugin {
  let first: Set<string> | null = null;
  return {
    name: "first-route",
    apply: "build",
    buildStart() {
      first = null;
    },
    config: () => ({
      build: {
        rolldownOptions: {
          output: {
            codeSplitting: {
              groups: [
                {
                  name: (id: string, modules: Modules) => {
                    first ??= atOnce(modules);
                    return first.has(id) ? "first" : null;
                  },
                },
              ],
            },
          },
        },
      },
    }),
  };

  /** The page's script and all that it imports at once. */
  function atOnce(modules: Modules): Set<string> {
    const seen = new Set<string>();
    const visit = (id: string): void => {
      if (seen.has(id)) return;
      seen.add(id);
      modules.getModuleInfo(id)?.importedIds.forEach(visit);
    };
    visit(new URL("../src/main.ts", import.meta.url).pathname);
    return seen;
  }
}
