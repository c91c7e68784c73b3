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

/** Sizes to choose from; any other is typed. (Common practice, no source.) */
export const COMMON: readonly LabelSize[] = [
  USUAL,
  { width_mm: 105, height_mm: 37, stock: "a4" },
  { width_mm: 101.6, height_mm: 50.8, stock: "letter" },
  { width_mm: 60, height_mm: 40, stock: "roll" },
];

const PAPERS: Readonly<Record<string, readonly [width: number, height: number]>> = {
  a4: [210, 297],
  letter: [215.9, 279.4],
};
const SLACK_MM = 0.6;

export function sizeOf(body: Readonly<Record<string, unknown>>): LabelSize {
  return { ...USUAL, ...(body["label"] as Partial<LabelSize> | undefined) };
}

export function same(one: LabelSize, other: LabelSize): boolean {
  const { width_mm, height_mm, stock } = one;
  return width_mm === other.width_mm && height_mm === other.height_mm && stock === other.stock;
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
