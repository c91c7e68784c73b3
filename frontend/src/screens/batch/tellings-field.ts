/** What records of the field say: who was put where, and how it stands. */
import { seen } from "./spoken";
import { all, coded, counted, named, plain, type Part } from "./telling";

const where = [
  named("block", "place", "line.place"),
  plain("row", "line.row"),
  all("positions", "line.positions"),
];

export const FIELD: Readonly<Record<string, readonly Part[]>> = {
  carried: [
    coded("way", "carried"),
    counted("plants", "plants"),
    named("block", "place", "line.place"),
  ],
  planted: where,
  refilled: where,
  left_empty: [...where, coded("why", "cause")],
  surveyed: [named("block", "place", "line.place"), plain("row", "line.row"), seen],
  thinned: [
    named("block", "place", "line.place"),
    all("rows", "line.rows"),
    counted("percent", "line.percent"),
  ],
};
