/** The growth of a batch's tagged plants as a chart shows it. */
import { courseOf, type Measuring } from "../../log/growth";
import type { Series } from "../../parts/chart";

const DRAWN = ["height_cm", "collar_mm"] as const;

/** A day of measuring: how many plants, and their mean to a tenth. */
export interface Day {
  readonly on: string;
  readonly n: number;
  readonly mean: number;
}

export interface Growth {
  readonly measure: (typeof DRAWN)[number];
  readonly days: readonly Day[];
  readonly series: readonly Series[];
}

/** Height and collar, where they were measured: every plant's figure, and a line through the means. */
export function growthOf(
  before: readonly Measuring[],
  dayOf: (at: string) => string,
  names: { readonly plants: string; readonly mean: string },
): Growth[] {
  return DRAWN.flatMap((measure) => {
    const course = courseOf(before, measure).map((one) => ({ ...one, on: dayOf(one.at) }));
    if (course.length === 0) return [];
    const days = course.map(({ on, each, mean }) => ({ on, n: each.length, mean: tenth(mean) }));
    const points = course.flatMap(({ on, each }) => each.map((y) => ({ x: on, y })));
    const means = days.map(({ on, mean }) => ({ x: on, y: mean }));
    const series: Series[] = [
      { draw: "points", name: names.plants, points },
      { draw: "line", name: names.mean, stroke: "heavy", points: means },
    ];
    return [{ measure, days, series }];
  });
}

function tenth(figure: number): number {
  return Math.round(figure * 10) / 10;
}

/** From two days on something grows; one alone says how big plants are, not how they grow. */
export function isEnough(growth: readonly Growth[]): boolean {
  return growth.some(({ days }) => new Set(days.map(({ on }) => on)).size > 1);
}
