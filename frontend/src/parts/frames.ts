/** How a name is drawn: a tray has cells, a mixed batch a broken edge, a terrace is a stair. */
export type Shape = "tray" | "mixed" | "pots" | "stair" | "bench" | "trap" | "house";

export interface Frame {
  readonly width: number;
  /** Closed outline. */
  readonly edge: string;
  /** Thinner strokes within: the walls of cells. */
  readonly inside: string;
  /** The middle of the word, across, and its baseline. */
  readonly middle: number;
  readonly baseline: number;
  readonly letter: number;
}

/** Of the height: room that the drawing takes left and right of the word beyond the usual. */
const ASIDE: Readonly<Partial<Record<Shape, readonly [left: number, right: number]>>> = {
  stair: [0.5, 0],
};

/** The drawing of a shape `height` high, as wide as a word of `letters` needs. */
export function frame(shape: Shape, letters: number, height: number): Frame {
  const [left, right] = ASIDE[shape] ?? [0, 0];
  const width = Math.max(1.25, 0.65 + 0.32 * letters + left + right) * height;
  const word = shape === "house" || shape === "trap" ? 0.5 : shape === "bench" ? 0.56 : 0.64;
  const baseline = { house: 0.82, trap: 0.82, bench: 0.56 }[shape as string] ?? 0.7;
  return {
    width,
    edge: outline(shape, width, height),
    inside: shape === "tray" ? cells(width, height) : "",
    middle: (width + (left - right) * height) / 2,
    baseline: baseline * height,
    letter: word * height,
  };
}

function outline(shape: Shape, w: number, h: number): string {
  const e = h * 0.03;
  const box = (top: number): string => `M${e} ${top + e}H${w - e}V${h - e}H${e}z`;
  const step = h * 0.27;
  switch (shape) {
    case "stair":
      return `M${e} ${h - e}V${h * 0.66}H${step}V${h * 0.33}H${2 * step}V${e}H${w - e}V${h - e}z`;
    case "bench":
      return `M0 ${h * 0.72}H${w}M${w * 0.1} ${h * 0.72}V${h}M${w * 0.9} ${h * 0.72}V${h}`;
    case "trap":
      return `${box(h * 0.16)}M${w / 2} 0V${h * 0.16}`;
    case "house":
      return `M${e} ${h - e}V${h * 0.28}L${w / 2} ${e}L${w - e} ${h * 0.28}V${h - e}z`;
    default:
      return box(0);
  }
}

function cells(width: number, height: number): string {
  const floor = height * 0.84;
  const many = Math.max(3, Math.round(width / (height * 0.27)));
  const walls = Array.from({ length: many - 1 }, (_, i) => {
    return `M${((i + 1) * width) / many} ${floor}V${height}`;
  });
  return `M0 ${floor}H${width}${walls.join("")}`;
}
