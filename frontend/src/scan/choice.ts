/** What can be scanned or typed: a batch or a place by its label. */
import type { What } from "../log/codes";
import type { Shape } from "../parts/frames";

export interface Choice {
  readonly id: string;
  readonly label: string;
  readonly kind: What;
  /** Without one a batch is drawn as a tray and a place as a stair. */
  readonly shape?: Shape;
  /** What tells it from another of the same label: what it is, where it stands. */
  readonly more?: string;
  /** Labels that it bore before: an old one still hangs somewhere. */
  readonly former?: readonly string[];
  /** The old label by which it was asked for, where it was. */
  readonly was?: string;
}

export function drawnAs({ kind, shape }: Choice): Shape {
  return shape ?? (kind === "batch" ? "tray" : "stair");
}

const STAIRS = new Set(["block", "terrace", "row"]);
const BENCHES = new Set(["bench", "bed", "tray_position"]);

/** How a place of a kind is drawn; the printed label draws it likewise. */
export function placeShape(kind: unknown): Shape {
  if (STAIRS.has(String(kind))) return "stair";
  if (BENCHES.has(String(kind))) return "bench";
  return kind === "trap" ? "trap" : "house";
}
