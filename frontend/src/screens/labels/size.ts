/**
 * The labels that a nursery buys, and how many lie on a sheet.
 *
 * Twin of `nursery/domain/reference/label_size.py`, which has the reasons;
 * `tests/vectors/label-sizes.json` keeps the two alike.
 */
export type Stock = "a4" | "letter" | "roll";

export interface LabelSize {
  readonly width_mm: number;
  readonly height_mm: number;
  readonly stock: Stock;
  readonly columns?: number | null;
  readonly rows?: number | null;
  readonly left_mm?: number | null;
  readonly top_mm?: number | null;
  readonly gap_across_mm?: number;
  readonly gap_down_mm?: number;
}

export const USUAL: LabelSize = { width_mm: 70, height_mm: 37, stock: "a4" };

/** Sheets of 3 x 7 and the like: margins and a gap between the columns. */
const sheet = (
  [width_mm, height_mm]: readonly [number, number],
  stock: Stock,
  [columns, rows]: readonly [number, number],
  [left_mm, top_mm, gap_across_mm]: readonly [number, number, number],
): LabelSize => ({
  ...{ width_mm, height_mm, stock, columns, rows, left_mm, top_mm, gap_across_mm },
});

/**
 * Sizes to choose from, by their geometry alone; any other is typed. (Common practice, no source.)
 * `tests/vectors/label-ready.json` has them too: each is printed there and its code is read.
 */
export const READY: readonly LabelSize[] = [
  USUAL,
  { width_mm: 105, height_mm: 37, stock: "a4" },
  { width_mm: 105, height_mm: 74, stock: "a4" },
  sheet([63.5, 38.1], "a4", [3, 7], [7.2, 15.1, 2.5]),
  sheet([99, 57], "a4", [2, 5], [4.5, 6, 3]),
  sheet([45.7, 21.2], "a4", [4, 12], [9.8, 21.3, 2.5]),
  { width_mm: 101.6, height_mm: 50.8, stock: "letter" },
  sheet([66.7, 25.4], "letter", [3, 10], [4.8, 12.7, 3.1]),
  { width_mm: 30, height_mm: 99, stock: "a4" },
  { width_mm: 25, height_mm: 90, stock: "roll" },
  { width_mm: 60, height_mm: 40, stock: "roll" },
  { width_mm: 40, height_mm: 25, stock: "roll" },
  { width_mm: 100, height_mm: 150, stock: "roll" },
];

const PAPERS: Readonly<Record<string, readonly [width: number, height: number]>> = {
  a4: [210, 297],
  letter: [215.9, 279.4],
};
const SLACK_MM = 0.6;

export function sizeOf(body: Readonly<Record<string, unknown>>): LabelSize {
  return { ...USUAL, ...(body["label"] as Partial<LabelSize> | undefined) };
}

const LENGTHS = ["left_mm", "top_mm", "gap_across_mm", "gap_down_mm"] as const;

/** The same label at the same places of the same sheet. */
export function same(one: LabelSize, other: LabelSize): boolean {
  const { width_mm, height_mm, stock } = one;
  if (width_mm !== other.width_mm || height_mm !== other.height_mm) return false;
  if (stock !== other.stock) return false;
  const [here, there] = [grid(one), grid(other)];
  return (
    here.across === there.across &&
    here.down === there.down &&
    LENGTHS.every((length) => (one[length] ?? 0) === (other[length] ?? 0))
  );
}

/** What a label is for, where its shape says so: a high one stands at a pot or on a stake. */
export function use({ width_mm, height_mm, stock }: LabelSize): "tag" | "roll" | null {
  if (height_mm > 2 * width_mm) return "tag";
  return stock === "roll" ? "roll" : null;
}

/** How labels do not lie on their sheet: so many of `side` take `length`, and `room` is there. */
export interface Misfit {
  readonly way: "across" | "down";
  readonly n: number;
  readonly side: number;
  readonly length: number;
  readonly room: number;
}

/** The first way in which labels of a size run off their sheet; null where they lie on it. */
export function misfit(size: LabelSize): Misfit | null {
  const paper = PAPERS[size.stock];
  if (!paper) return null;
  const { across, down } = grid(size);
  const { width_mm, height_mm, left_mm, top_mm, gap_across_mm, gap_down_mm } = size;
  const ways = [
    ["across", across, width_mm, left_mm ?? 0, gap_across_mm ?? 0, paper[0]],
    ["down", down, height_mm, top_mm ?? 0, gap_down_mm ?? 0, paper[1]],
  ] as const;
  for (const [way, many, side, before, gap, room] of ways) {
    const n = Math.max(1, many);
    const length = Math.round((before + n * side + (n - 1) * gap) * 10) / 10;
    if (length > room + SLACK_MM) return { way, n, side, length, room };
  }
  return null;
}

/** Labels beside each other, and below each other, on a sheet. */
export function grid(size: LabelSize): { readonly across: number; readonly down: number } {
  const paper = PAPERS[size.stock];
  if (!paper) return { across: 1, down: 1 };
  const [width, height] = paper;
  const { width_mm, height_mm, columns, rows, left_mm, top_mm } = size;
  return {
    across: columns ?? fitting(width - (left_mm ?? 0), width_mm, size.gap_across_mm ?? 0),
    down: rows ?? fitting(height - (top_mm ?? 0), height_mm, size.gap_down_mm ?? 0),
  };
}

function fitting(room: number, side: number, gap: number): number {
  return Math.floor((room + gap + SLACK_MM) / (side + gap));
}

/** Sheets that so many labels take, where some of the first sheet are used. */
export function sheets(labels: number, skip: number, onSheet: number): number {
  return Math.ceil((labels + skip) / Math.max(1, onSheet));
}
