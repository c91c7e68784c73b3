/** A crop's profile as it is being typed: the grower's own copy of what is commonly known. */
import { figureText, readNumber } from "../../words/forms";
import { several } from "../permits/draft";
import { curveOf, curveText, type Curves } from "./curves";
import type { Wrong } from "./shapes";
import { tidy } from "./typing";

/** A figure or a range; without a source and not one's own it is from memory. */
export interface Figure {
  readonly low: number;
  readonly high?: number | null;
  readonly source?: string | null;
  readonly own?: boolean;
}

export interface ProfileBody {
  readonly id: string;
  readonly name: Readonly<Record<string, string>>;
  readonly botanical: string;
  readonly made_by: string;
  readonly nursery_weeks: Figure;
  readonly least: Readonly<Record<string, Figure>>;
  readonly shade: readonly number[];
  readonly shade_source?: string | null;
  readonly shade_own?: boolean;
  readonly toughening_weeks: Figure;
  readonly litres: Figure;
  readonly stages?: Readonly<Record<string, Figure>>;
  readonly spacing_m?: readonly (readonly [Figure, Figure])[];
  readonly pests?: readonly { readonly name: string; readonly code?: string | null }[];
  readonly water_days?: readonly Figure[];
  readonly warmth_c?: Readonly<Record<string, Figure>>;
  readonly container?: string | null;
  readonly growth?: Curves;
}

export const MEASURES = [
  ...["height_cm", "collar_mm", "flushes", "leaves", "leaf_pairs", "nodes"],
] as const;
export const STAGES = ["stratification", "germination", "rooting", "union", "weaning"] as const;
export const WARMTHS = ["growth_from", "growth_to", "chill_below"] as const;

export interface FigureTyping {
  low: string;
  high: string;
}

/** Figures stand by their path, such as `least.height_cm` or `spacing_m.0.1`. */
export interface ProfileTyping {
  from: ProfileBody | null;
  figures: Record<string, FigureTyping>;
  shade: string;
  pests: string;
  container: string;
  /** How each measure grows, as it is typed. */
  curves: Record<string, string>;
}

export const NO_PROFILE: ProfileTyping = {
  ...{ from: null, figures: {}, shade: "", pests: "", container: "", curves: {} },
};

const NEEDED = ["nursery_weeks", "toughening_weeks", "litres"] as const;

/** Which fields a profile shows, by the groups that are folded. */
export function groupsOf(from: ProfileBody, steps: number): Record<string, string[]> {
  const spaced = from.spacing_m ?? [];
  return {
    sizes: MEASURES.map((one) => `least.${one}`),
    stages: ["nursery_weeks", ...STAGES.map((one) => `stages.${one}`)],
    shade: ["toughening_weeks", ...Array.from({ length: steps }, (_, n) => `water_days.${n}`)],
    warmth: WARMTHS.map((one) => `warmth_c.${one}`),
    spacing: ["litres", ...spaced.flatMap((_, n) => [`spacing_m.${n}.0`, `spacing_m.${n}.1`])],
  };
}

/** The figure that the copy held when the form was opened. */
export function figureAt(from: ProfileBody, path: string): Figure | null {
  let found: unknown = from;
  for (const name of path.split(".")) {
    found =
      typeof found === "object" && found !== null
        ? (found as Readonly<Record<string, unknown>>)[name]
        : null;
  }
  return (found as Figure | null | undefined) ?? null;
}

export function profileTyping(from: ProfileBody | null | undefined, mark: string): ProfileTyping {
  if (!from) return { ...NO_PROFILE, figures: {}, curves: {} };
  const text = (value: number | null | undefined): string =>
    typeof value === "number" ? figureText(value, mark) : "";
  const paths = Object.values(groupsOf(from, from.shade.length)).flat();
  return {
    from,
    figures: Object.fromEntries(
      paths.map((path) => {
        const figure = figureAt(from, path);
        return [path, { low: text(figure?.low), high: text(figure?.high) }];
      }),
    ),
    shade: from.shade.map((one) => figureText(one, mark)).join("; "),
    pests: (from.pests ?? []).map(({ name }) => name).join("; "),
    container: from.container ?? "",
    curves: Object.fromEntries(
      MEASURES.map((one) => {
        const curve = from.growth?.[one];
        return [one, curve === undefined ? "" : curveText(curve, mark)];
      }),
    ),
  };
}

export function shadesOf(typed: string): number[] | null {
  const read = several(typed).map((one) => readNumber(one.replace("%", "")));
  const shades = read.filter((one) => typeof one === "number");
  const falls = shades.every((one, i) => one <= 100 && (i === 0 || one < (shades[i - 1] ?? 0)));
  return shades.length === read.length && shades.length > 0 && falls ? shades : null;
}

export function wrongProfile(typed: ProfileTyping): Wrong | null {
  const { from } = typed;
  if (from === null) return null;
  const shades = shadesOf(typed.shade);
  if (shades === null) {
    return { field: "profile.shade", value: typed.shade, says: "profile.odd_shade" };
  }
  const paths = Object.values(groupsOf(from, shades.length)).flat();
  for (const path of paths) {
    const wrong = wrongFigure(typed.figures[path], path);
    if (wrong !== null) return wrong;
  }
  for (const one of MEASURES) {
    const value = typed.curves[one] ?? "";
    if (curveOf(value, one, from.growth?.[one]) === undefined) {
      return { field: `profile.growth.${one}`, value, says: "profile.odd_curve" };
    }
  }
  const sizes = MEASURES.some((one) => tidy(typed.figures[`least.${one}`]?.low ?? "") !== "");
  return sizes ? null : { field: "profile.least.height_cm", value: null };
}

function wrongFigure(typed: FigureTyping | undefined, path: string): Wrong | null {
  const field = `profile.${path}`;
  const low = tidy(typed?.low ?? "");
  const high = tidy(typed?.high ?? "");
  if (low === "" && high === "") {
    const needed = (NEEDED as readonly string[]).includes(path) || path.startsWith("spacing_m");
    return needed ? { field, value: null } : null;
  }
  const [from, to] = [readNumber(low), high === "" ? null : readNumber(high)];
  if (typeof from !== "number") return { field, value: low, says: "profile.odd_figure" };
  if (high === "") return null;
  if (typeof to !== "number") return { field, value: high, says: "profile.odd_figure" };
  return to < from ? { field, value: high, says: "profile.odd_range" } : null;
}

/** Whether what is typed is another figure than the copy held. */
export function isChanged(typed: FigureTyping, before: Figure | null): boolean {
  const [low, high] = [read(typed.low), read(typed.high)];
  return low !== (before?.low ?? null) || high !== (before?.high ?? null);
}

function read(typed: string): number | null {
  const value = readNumber(typed);
  return typeof value === "number" ? value : null;
}

/** The copy with what was typed; a figure that was changed is the grower's own. */
export function profileBody(typed: ProfileTyping): ProfileBody | null {
  const { from } = typed;
  if (from === null) return null;
  const at = (path: string): Figure | null => figureOf(typed.figures[path], figureAt(from, path));
  const needed = (path: string): Figure => at(path) ?? { low: 0 };
  const named = (group: string, names: readonly string[]): Record<string, Figure> =>
    Object.fromEntries(
      names.flatMap((name) => {
        const figure = at(`${group}.${name}`);
        return figure === null ? [] : [[name, figure] as const];
      }),
    );
  const shade = shadesOf(typed.shade) ?? from.shade;
  const water = shade.flatMap((_, n) => at(`water_days.${n}`) ?? []);
  return {
    ...from,
    nursery_weeks: needed("nursery_weeks"),
    toughening_weeks: needed("toughening_weeks"),
    litres: needed("litres"),
    least: named("least", MEASURES),
    stages: named("stages", STAGES),
    warmth_c: named("warmth_c", WARMTHS),
    ...shaded(shade, from),
    water_days: water.length === shade.length ? water : [],
    spacing_m: (from.spacing_m ?? []).map((_, n) => [
      ...([needed(`spacing_m.${n}.0`), needed(`spacing_m.${n}.1`)] as const),
    ]),
    pests: several(typed.pests).map(
      (name) => from.pests?.find((one) => one.name === name) ?? { name, code: null },
    ),
    container: tidy(typed.container) === "" ? null : tidy(typed.container),
    ...grown(typed, from),
  };
}

/** The curves that are typed; a copy that had none, and gets none, keeps its shape. */
function grown({ curves }: ProfileTyping, from: ProfileBody): Partial<ProfileBody> {
  const found = MEASURES.flatMap((one) => {
    const curve = curveOf(curves[one] ?? "", one, from.growth?.[one]);
    return curve ? [[one, curve] as const] : [];
  });
  return found.length === 0 && from.growth === undefined
    ? {}
    : { growth: Object.fromEntries(found) };
}

function shaded(shade: readonly number[], from: ProfileBody): Partial<ProfileBody> {
  const same = shade.length === from.shade.length && shade.every((one, i) => one === from.shade[i]);
  return same ? {} : { shade, shade_source: null, shade_own: true };
}

function figureOf(typed: FigureTyping | undefined, before: Figure | null): Figure | null {
  if (typed === undefined) return before;
  const low = read(typed.low);
  if (low === null) return null;
  if (before !== null && !isChanged(typed, before)) return before;
  return { low, high: read(typed.high), source: null, own: true };
}
