/** The figures of a chart as the rows of a table. */
import { along, type Along, type Series } from "./chart";

export interface Row {
  readonly x: Along;
  /** A figure for each column; null in a gap, undefined where nothing is said of this place. */
  readonly cells: readonly (number | null | undefined)[];
}

/** The same figures as rows in order along the axis; a band has two columns. */
export function rows(series: readonly Series[]): Row[] {
  const columns = series.flatMap((one) =>
    one.draw === "band"
      ? [column(one.points, ({ low }) => low), column(one.points, ({ high }) => high)]
      : [column(one.points, ({ y }) => y)],
  );
  const places = new Map(columns.flatMap((column) => [...column].map(([at, { x }]) => [at, x])));
  return [...places]
    .sort(([one, a], [other, b]) => along(a) - along(b) || (one < other ? -1 : 1))
    .map(([at, x]) => ({ x, cells: columns.map((column) => column.get(at)?.figure) }));
}

/** Figures by their place. What has several at one place has a row for each. */
function column<T extends { readonly x: Along }>(
  points: readonly T[],
  figureOf: (one: T) => number | null,
): Map<string, { x: Along; figure: number | null }> {
  const many = new Map<number, number>();
  return new Map(
    points.map((one) => {
      const at = along(one.x);
      const n = many.get(at) ?? 0;
      many.set(at, n + 1);
      return [`${at} ${n}`, { x: one.x, figure: figureOf(one) }];
    }),
  );
}
