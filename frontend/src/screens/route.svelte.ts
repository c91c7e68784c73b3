/** Which sheet is open. It stands behind `#`, so that the page itself is one file offline. */
export interface Route {
  /** The sheet's name; empty for the first one. */
  readonly sheet: string;
  /** What it is about: a batch, a place. Empty where it is about nothing in particular. */
  readonly id: string;
  /** What of it: a term of the account, an act. */
  readonly term: string;
}

export function routeOf(hash: string): Route {
  const [sheet = "", id = "", term = ""] = hash.replace(/^#\/?/, "").split("/").map(plain);
  return { sheet, id, term };
}

/** The address of a sheet, for a link. */
export function to(sheet: string, ...parts: readonly string[]): string {
  return `#/${[sheet, ...parts.map(encodeURIComponent)].join("/")}`;
}

export function toBatch(id: string, term?: string): string {
  return term === undefined ? to("batch", id) : to("batch", id, term);
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
      scrollTo(0, 0);
    });
  }

  /** Go to a sheet. `instead` leaves no way back to this one: what was finished is not begun again. */
  go(address: string, instead = false): void {
    if (instead) location.replace(address);
    else location.hash = address;
  }
}

export const here = new Here();
