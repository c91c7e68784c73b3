/** Potting on as it stands in its form, and the records that it makes. */
import type { Draft } from "../../log/write";
import { readNumber } from "../../words/forms";

export const CONTAINERS = ["pot", "air_pot", "bag", "tray"] as const;
export const MEDIA = ["peat_perlite", "coir", "bark", "compost", "sand"] as const;
/** Classes of circling roots, with their words under `root.` */
export const ROOTS = ["none", "few", "many"] as const;

export interface Roots {
  /** So many of each class, as they are typed; `cull` beside them. */
  roots: Record<string, string>;
  photos: string[];
}

export const NO_ROOTS: Roots = { roots: {}, photos: [] };

export interface Potting extends Roots {
  container: string;
  litres: string;
  medium: string;
  /** Plants dead, plants culled, and pots that stand there now: figures as they are typed. */
  counts: Record<string, string>;
  cause: string;
}

export const NO_POTS: Potting = {
  ...NO_ROOTS,
  ...{ container: "", litres: "", medium: "", counts: {}, cause: "j_root" },
};

/** The containers that a crop's row knows, by the names that the row gives them. */
export function potsOf(
  crop: { readonly body: Readonly<Record<string, unknown>> } | null,
): readonly string[] {
  const pots = (crop?.body["pots"] ?? []) as readonly { readonly container: string }[];
  return pots.map(({ container }) => container);
}

function whole(text: string | undefined): number {
  return Number(text === undefined || text === "" ? 0 : text);
}

export interface Balance {
  readonly dead: number;
  readonly culled: number;
  /** What is left by the account: in less dead and culled. */
  readonly left: number;
  /** Pots that were counted; null as long as nobody typed them. */
  readonly out: number | null;
  /** Plants that the count of pots does not explain; below zero where there are too many. */
  readonly difference: number;
}

export function balanceOf({ counts }: Pick<Potting, "counts">, alive: number): Balance {
  const [dead, culled] = [whole(counts["dead"]), whole(counts["culled"])];
  const out = counts["out"] === undefined || counts["out"] === "" ? null : Number(counts["out"]);
  const left = alive - dead - culled;
  return { dead, culled, left, out, difference: out === null ? 0 : left - out };
}

export interface Usual {
  /** Whether the conditions keep the plants of a fate for the officer. */
  readonly keeps: (fate: "died" | "culled") => boolean;
  /** The last count that stood on the screen. */
  readonly saw: string | null;
}

/** What left first, then what was counted, then the pots: in the order in which it is done. */
export function draftsOf(form: Potting, id: string, alive: number, usual: Usual): Draft[] {
  const { dead, culled, out } = balanceOf(form, alive);
  const litres = readNumber(form.litres);
  const lost = (count: number, fate: "died" | "culled", cause: string): Draft[] =>
    count === 0 ? [] : [about(id, "lost", { count, fate, cause, kept: usual.keeps(fate) })];
  const potted = {
    container: form.container,
    ...(typeof litres === "number" ? { litres } : {}),
    ...(form.medium.trim() === "" ? {} : { medium: form.medium.trim() }),
  };
  return [
    ...lost(dead, "died", "unknown"),
    ...lost(culled, "culled", form.cause),
    ...(out === null ? [] : [about(id, "counted", { method: "full", alive: out, saw: usual.saw })]),
    about(id, "potted", potted),
    ...rootsOf(form, [id]),
  ];
}

function about(id: string, kind: string, body: Draft["body"]): Draft {
  return { kind, about: [id], body };
}

/** How many root balls were looked at. */
export function looked({ roots }: Pick<Roots, "roots">): number {
  return ROOTS.reduce((sum, one) => sum + whole(roots[one]), 0);
}

/** Root balls pulled and classed, of one batch or of several together; none where none were. */
export function rootsOf(form: Pick<Roots, "roots">, ids: readonly string[]): Draft[] {
  if (looked(form) === 0) return [];
  const classes = [...ROOTS, "cull"].map((one) => [one, whole(form.roots[one])]);
  return [{ kind: "plugged", about: ids, body: Object.fromEntries(classes) as Draft["body"] }];
}
