/** Which sheet is open. It stands behind `#`, so that the page itself is one file offline. */
export type Route =
  | { readonly sheet: "stock" }
  | { readonly sheet: "looks" }
  | { readonly sheet: "batch"; readonly id: string; readonly term: string | null }
  | { readonly sheet: "none" };

export function routeOf(hash: string): Route {
  const [sheet = "", id = "", term = ""] = hash.replace(/^#\/?/, "").split("/").map(plain);
  if (sheet === "") return { sheet: "stock" };
  if (sheet === "looks") return { sheet: "looks" };
  if (sheet === "batch" && id !== "") return { sheet: "batch", id, term: term || null };
  return { sheet: "none" };
}

export function toBatch(id: string, term?: string): string {
  return `#/batch/${encodeURIComponent(id)}${term === undefined ? "" : `/${term}`}`;
}

function plain(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

class Here {
  route = $state.raw<Route>(routeOf(location.hash));

  constructor() {
    addEventListener("hashchange", () => {
      this.route = routeOf(location.hash);
    });
  }
}

export const here = new Here();
