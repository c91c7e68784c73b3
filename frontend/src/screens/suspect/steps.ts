/** What is done after a suspicion, one thing at a time, in this order. */
export const STEPS = [
  { id: "bag", sign: "bag" },
  { id: "photos", sign: "photo" },
  { id: "where", sign: "lens" },
  { id: "many", sign: "found" },
  { id: "vents", sign: "close-vent" },
  { id: "finish", sign: "round" },
  { id: "clothes", sign: "clothes" },
  { id: "wipe", sign: "wipe" },
  { id: "tell", sign: "tell" },
] as const;

export type StepId = (typeof STEPS)[number]["id"];

/** What a suspicion's form holds. `done` tells when each step was ticked off. */
export interface Steps {
  find: string;
  done: Partial<Record<StepId, string>>;
  photos: string[];
  symptom: string;
  part: string;
  /** Figures of the plant's place in the tray. */
  plant: string;
  perLeaf: number;
  plants: number;
  /** The last record of the find: a correction names what it was made from. */
  head: string;
  /** What the last record said, so that nothing is written twice. */
  said: string;
  who: string;
  how: string;
  reference: string;
  /** What was said of a find in the field when it began; a correction tells it again. */
  pest: string;
  positions: string[];
}

export const NO_STEPS: Steps = {
  ...{ find: "", done: {}, photos: [], symptom: "", part: "", plant: "" },
  ...{ perLeaf: 0, plants: 1, head: "", said: "", who: "", how: "", reference: "" },
  ...{ pest: "", positions: [] },
};

export function firstOpen({ done }: Pick<Steps, "done">): StepId | null {
  return STEPS.find(({ id }) => done[id] === undefined)?.id ?? null;
}

/** What the find tells once the plant was looked at closer. */
export function findBody(steps: Steps, label: string): Readonly<Record<string, unknown>> {
  const { photos, symptom, part, plant, perLeaf, plants, pest, positions } = steps;
  return {
    suspicion: true,
    ...(pest === "" ? {} : { pest }),
    ...(positions.length > 0 ? { positions: [...positions] } : {}),
    ...(symptom === "" ? {} : { symptom }),
    ...(part === "" ? {} : { part }),
    ...(plant === "" ? {} : { tag: `${label}-${plant}`.slice(0, 64) }),
    plants,
    ...(perLeaf > 0 ? { per_leaf: perLeaf } : {}),
    ...(photos.length > 0 ? { photos: [...photos] } : {}),
  };
}
