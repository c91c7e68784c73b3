/** A block's layout as its row holds it; `nursery/domain/reference/layouts.py` says what each means. */
import { isCrop, nameAt, type LayoutOf, type RowOf } from "../../log/planting-row";

export type Pattern = "rectangular" | "triangular" | "double" | "contour";

export interface BlockRow extends RowOf {
  readonly goes?: number | null;
  readonly path?: readonly number[];
}

export interface Thinning {
  readonly year: number;
  readonly percent: number;
}

export interface BlockLayout extends LayoutOf {
  readonly rows: readonly BlockRow[];
  readonly in_row_m?: number | null;
  readonly between_m?: number | null;
  readonly pair_m?: number | null;
  readonly pattern?: Pattern;
  readonly outline?: readonly number[];
  readonly area_m2?: number | null;
  readonly painted_end?: readonly number[];
  readonly thinnings?: readonly Thinning[];
  /** Looks of so many days are one count; so many percent of the shelter go at once. */
  readonly count_days?: number;
  readonly most_percent?: number;
}

export const HECTARE_M2 = 10_000;

export function positionsOf({ rows }: BlockLayout): number {
  return rows.filter(isCrop).reduce((sum, { holes }) => sum + holes, 0);
}

/** Plants of the crop on a hectare: on the area that was drawn, else by the distances alone. */
export function perHectare(layout: BlockLayout): number | null {
  if (layout.area_m2) return (positionsOf(layout) * HECTARE_M2) / layout.area_m2;
  const { in_row_m: along, between_m: across, pattern, pair_m: pair } = layout;
  if (!along || !across) return null;
  if (pattern === "double" && pair) return (2 * HECTARE_M2) / (along * (across + pair));
  return HECTARE_M2 / (along * gapOf(layout, 0));
}

/** How far the row after that one lies [m]; where no distance is known, one step. */
export function gapOf(layout: BlockLayout, index: number): number {
  const { in_row_m: along, between_m: across, pattern, pair_m: pair } = layout;
  if (!across) return 1;
  if (pattern === "double" && pair) return index % 2 === 0 ? pair : across;
  if (pattern !== "triangular" || !along || across <= along / 2) return across;
  return Math.sqrt((across - along / 2) * (across + along / 2));
}

/** `31 – 45`, as a row's positions are called. */
export function spanOf(row: RowOf): { readonly first: string; readonly last: string } {
  return { first: nameAt(row, 0), last: nameAt(row, row.holes - 1) };
}
