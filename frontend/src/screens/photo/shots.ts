/** What a picture may be asked to show: its code in the record, and the sign on its bar. */
export const SHOTS = {
  whole_plant: "shot-plant",
  underside: "shot-underside",
  scale: "shot-scale",
  label: "shot-label",
  bench: "bench",
  box: "shot-box",
  seal: "shot-seal",
  paper: "paper",
  roots: "root",
  screen: "repair",
  destroyed: "lost",
} as const;

export type Shot = keyof typeof SHOTS;

export function isShot(code: string): code is Shot {
  return Object.hasOwn(SHOTS, code);
}

/** What is asked for of a batch, one after the other: the same each time, so that dates compare. */
export const OF_A_BATCH: readonly Shot[] = ["whole_plant", "underside", "scale", "label", "roots"];
