/** A count as it stands in its form: what is typed, and what that makes. */
import { oddCount, type CountDoubt } from "../../log/ask";
import type { CountMethod } from "../../log/bodies";

export interface Typed {
  method: CountMethod;
  /** Figures as they were tapped; empty as long as nobody tapped one: a blank is no zero. */
  alive: string;
  cells: string;
  gaps: string;
  /** Which figure the keys write. */
  at: "alive" | "cells" | "gaps";
}

export interface CountBody {
  readonly method: CountMethod;
  readonly alive: number;
  readonly cells?: number;
  readonly gaps?: number;
}

/** An empty form; the tray's cells stand in it, where they are known. */
export function blank(cells: number | null): Typed {
  const known = cells === null ? "" : String(cells);
  return cells === null
    ? { method: "full", alive: "", cells: known, gaps: "", at: "alive" }
    : { method: "cells_less_gaps", alive: "", cells: known, gaps: "", at: "gaps" };
}

export function filled(body: CountBody): Typed {
  const { method, alive, cells, gaps } = body;
  return {
    method,
    alive: String(alive),
    cells: String(cells ?? ""),
    gaps: String(gaps ?? ""),
    at: method === "cells_less_gaps" ? "gaps" : "alive",
  };
}

/** The form with another method: what was typed stays. */
export function by(method: CountMethod, typed: Typed): Partial<Typed> {
  if (method !== "cells_less_gaps") return { method, at: "alive" };
  return { method, at: typed.cells === "" ? "cells" : "gaps" };
}

/** How many live by what is typed; below zero where there are more gaps than cells. */
export function aliveOf({ method, alive, cells, gaps }: Typed): number | null {
  if (method !== "cells_less_gaps") return alive === "" ? null : Number(alive);
  return cells === "" || gaps === "" ? null : Number(cells) - Number(gaps);
}

/** What cannot be in it. An estimate is held to nothing. */
export function oddOf(typed: Typed, cells: number | null, ever: number | null): CountDoubt | null {
  const alive = aliveOf(typed);
  if (alive === null || typed.method === "estimate") return null;
  return typed.method === "full"
    ? oddCount({ alive, cells, gaps: null, ever })
    : oddCount({ alive, cells: Number(typed.cells), gaps: Number(typed.gaps), ever });
}

/** The body of its record; null as long as there is none. */
export function bodyOf(typed: Typed): CountBody | null {
  const alive = aliveOf(typed);
  if (alive === null || alive < 0) return null;
  const { method, cells, gaps } = typed;
  if (method !== "cells_less_gaps") return { method, alive };
  return { method, alive, cells: Number(cells), gaps: Number(gaps) };
}
