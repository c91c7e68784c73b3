/** What the office says that a layout would hold. */
export interface Figures {
  readonly rows: number;
  readonly positions: number;
  readonly shelter_rows: number;
  readonly shelter: number;
  readonly per_hectare: number | null;
  readonly on_area: number | null;
  readonly area_m2: number | null;
  readonly at_hand: number | null;
  readonly short: number | null;
  readonly standing: number;
}
