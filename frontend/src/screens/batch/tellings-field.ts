/** What records of the field say: who was put where, how it stands, and what a trace found. */
import { seen } from "./spoken";
import { all, because, coded, counted, flagged, named, plain, type Part } from "./telling";

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
  traced: [
    because(plain("asked_by"), plain("reason")),
    counted("positions", "line.traced_positions"),
    counted("alive", "line.traced_alive"),
    counted("reserve", "line.traced_reserve"),
    counted("sent", "line.traced_sent"),
    flagged("drill", "line.traced_drill"),
    counted("seconds", "line.traced_seconds"),
    plain("reference", "line.reference"),
  ],
  thinned: [
    named("block", "place", "line.place"),
    all("rows", "line.rows"),
    counted("percent", "line.percent"),
  ],
};
