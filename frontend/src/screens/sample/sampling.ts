/** A sample as it stands in its form, and the records that it makes. */
import type { Draft } from "../../log/write";
import { blank, draftsOf as lossOf, type Losing } from "../lose/losing";

export interface Sampling extends Losing {
  /** Whole plants leave the living count; parts of plants do not. */
  whole: boolean;
  part: string;
  test: string;
  /** A laboratory that no record has named before. */
  otherLaboratory: string;
  /** The day by which the laboratory is to answer, or null where nobody said. */
  due: string | null;
  /** A day that is put together, where no chip names it. */
  otherDue: boolean;
}

/** After so many days laboratories often answer. (Common practice, no source.) */
export const USUAL_DAYS = [7, 14] as const;

export function blankSample(): Sampling {
  return {
    ...blank("sampled", ""),
    ...{ count: 1, whole: false, part: "", test: "", otherLaboratory: "" },
    ...{ due: null, otherDue: false },
  };
}

/** The longest name that a record takes. */
const MOST = 64;

export function draftsOf(
  form: Sampling,
  { id, prefix, find }: { id: string; prefix: string; find: string | null },
): Draft[] {
  const other = form.otherLaboratory.trim().slice(0, MOST);
  const losing = { ...form, laboratory: other === "" ? form.laboratory : other };
  const [sampled, ...lost] = lossOf(losing, { kept: false, byAuditor: true }, { id, prefix, find });
  if (!sampled) return [];
  const body = {
    ...sampled.body,
    whole: form.whole,
    ...(form.whole || form.part === "" ? {} : { part: form.part }),
    ...(form.due === null ? {} : { result_due: form.due }),
    ...(form.test.trim() === "" ? {} : { test: form.test.trim().slice(0, MOST) }),
  };
  return [{ ...sampled, body }, ...(form.whole ? lost : [])];
}

/** Tests that are asked for, with words under `test.` (Common practice, no source.) */
export const TESTS = ["identify", "pcr", "elisa", "culture", "nematodes"] as const;
