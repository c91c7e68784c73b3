/** What records of raising say: seed, cuttings, grafts, and what came of them. */
import { batch, division } from "./spoken";
import { all, coded, counted, named, plain, type Part } from "./telling";

const plants = counted("plants", "plants");

export const RAISED: Readonly<Record<string, readonly Part[]>> = {
  sown: [
    counted("seeds", "line.seeds"),
    batch,
    named("seed_lot", "seed_lot", "line.seed"),
    named("consignment", "consignment", "line.consignment"),
    plain("pretreatment", "line.pretreatment"),
    counted("per_cell", "line.per_cell"),
    counted("depth_mm", "line.depth"),
  ],
  emerged: [counted("total", "line.emerged"), counted("abnormal", "line.abnormal")],
  rooted: [counted("total", "line.rooted"), counted("callused", "line.callused")],
  pricked: division,
  stuck: [counted("cuttings", "line.cuttings"), batch, all("parents", "line.from_these", "batch")],
  worked: [
    coded("method", "method"),
    plants,
    named("scion", "batch", "line.scion"),
    counted("took", "line.took"),
    counted("rootstock_mm", "line.rootstock"),
    named("operator", "person", "line.doer"),
  ],
  took: [counted("took", "line.took"), counted("failed", "line.failed")],
};
