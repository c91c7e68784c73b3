/** The row of the site as it is being typed, what is wrong with it, and the row that it makes. */
import { figureText, readNumber } from "../../words/forms";

export const SOILS = [
  ...(["sand", "loamy_sand", "sandy_loam", "loam", "silt_loam"] as const),
  ...(["silt", "silt_clay_loam", "silty_clay", "clay"] as const),
] as const;
export type Soil = (typeof SOILS)[number];

export const OF_THE_PLACE = ["elevation_m", "hole_cm", "root_cm"] as const;
export const OF_THE_RAINS = ["amount_mm", "within_days", "dry_days", "ahead_days"] as const;
export const OF_THE_DAYS = ["follow_up_days", "hot_c", "windy_kmh", "sunshine"] as const;
export const OF_THE_WORK = [
  ...(["fit_share", "plants_per_day", "cost_plant", "cost_hour", "cost_pot"] as const),
] as const;

/** Levels of the planting day (rule V-2): where each check turns. */
export const OF_THE_LEVELS = [
  ...(["wet_to_cm", "wet_wait_cm", "wet_day_mm", "wet_days", "dry_spell_go"] as const),
  ...(["dry_spell_no", "heat_go_c", "heat_no_c", "wind_go_kmh", "wind_no_kmh"] as const),
  ...(["fit_go", "fit_wait", "days_go", "days_wait", "pits_wait"] as const),
] as const;
export type Level = (typeof OF_THE_LEVELS)[number];
/** Shares, that are typed in percent. */
const PERCENT: ReadonlySet<string> = new Set([
  ...["dry_spell_go", "dry_spell_no", "fit_go", "fit_wait", "pits_wait"],
]);
const HUNDRED = 100;
/** Of each pair, the first is never below the second. */
const PAIRS: readonly (readonly [Level, Level])[] = [
  ["wet_to_cm", "wet_wait_cm"],
  ["dry_spell_no", "dry_spell_go"],
  ["heat_no_c", "heat_go_c"],
  ["wind_no_kmh", "wind_go_kmh"],
  ["fit_go", "fit_wait"],
  ["days_go", "days_wait"],
];

/** The levels that count where nothing is typed, and where each comes from. */
export interface Usual {
  readonly usual: Readonly<Partial<Record<Level, number>>>;
  readonly sources: Readonly<Partial<Record<Level, string>>>;
}

type OwnFigure =
  (typeof OF_THE_PLACE)[number] | (typeof OF_THE_DAYS)[number] | (typeof OF_THE_WORK)[number];
type RainFigure = (typeof OF_THE_RAINS)[number];
export type Figure = OwnFigure | RainFigure | Level;
const OWN: readonly OwnFigure[] = [...OF_THE_PLACE, ...OF_THE_DAYS, ...OF_THE_WORK];
const WHOLE: ReadonlySet<string> = new Set([
  ...["within_days", "dry_days", "ahead_days", "follow_up_days", "plants_per_day"],
  ...["wet_days", "days_go", "days_wait"],
]);

export interface SiteBody extends Partial<Record<OwnFigure, number | null>> {
  readonly latitude: number;
  readonly soil?: Soil;
  readonly rains?: Partial<Record<RainFigure, number>>;
  readonly planting?: Partial<Record<Level, number>>;
  readonly currency?: string | null;
}

export type Side = "north" | "south";

export interface Typing extends Record<Figure, string> {
  degrees: string;
  side: Side | null;
  soil: Soil | null;
  currency: string;
}

export function typingOf(body: SiteBody | null, mark: string): Typing {
  const figure = (value: number | null | undefined): string =>
    typeof value === "number" ? figureText(value, mark) : "";
  const own = OWN.map((name) => [name, figure(body?.[name])] as const);
  const rains = OF_THE_RAINS.map((name) => [name, figure(body?.rains?.[name])] as const);
  const levels = OF_THE_LEVELS.map((name) => [name, figure(shown(name, body?.planting))] as const);
  return {
    ...(Object.fromEntries([...own, ...rains, ...levels]) as Record<Figure, string>),
    degrees: body ? figure(Math.abs(body.latitude)) : "",
    side: body === null ? null : body.latitude < 0 ? "south" : "north",
    soil: body?.soil ?? null,
    currency: body?.currency ?? "",
  };
}

/** A level as it is typed and read: a share in percent. */
export function shown(
  name: Level,
  levels: Readonly<Partial<Record<Level, number>>> | undefined,
): number | undefined {
  const value = levels?.[name];
  if (value === undefined || !PERCENT.has(name)) return value;
  return Number((value * HUNDRED).toFixed(2));
}

/** What is wrong with a field, by the end of its word's key. */
export type Wrong = "no_figure" | "two_ways" | "not_whole" | "missing" | "wrong_side";

export function wrongOf(typing: Typing, usual: Usual["usual"] = {}): Map<keyof Typing, Wrong> {
  const found = new Map<keyof Typing, Wrong>();
  for (const name of ["degrees", ...OWN, ...OF_THE_RAINS, ...OF_THE_LEVELS] as const) {
    const text = typing[name].trim();
    const value = readNumber(text);
    if (text === "") continue;
    if (value === null) found.set(name, "no_figure");
    else if (value === "ask") found.set(name, "two_ways");
    else if (WHOLE.has(name) && !Number.isInteger(value)) found.set(name, "not_whole");
  }
  if (typing.degrees.trim() === "") found.set("degrees", "missing");
  if (typing.side === null) found.set("side", "missing");
  for (const name of onTheWrongSide(typing, usual))
    if (!found.has(name)) found.set(name, "wrong_side");
  return found;
}

/** Levels that were typed so that wait would be better than go; what is empty is as usual. */
function onTheWrongSide(typing: Typing, usual: Usual["usual"]): Level[] {
  const of = (name: Level): number | undefined => {
    const value = readNumber(typing[name]);
    return typeof value === "number" ? value : shown(name, usual);
  };
  return PAIRS.flatMap(([high, low]) => {
    const [above, below] = [of(high), of(low)];
    if (above === undefined || below === undefined || above >= below) return [];
    return [high, low].filter((name) => typing[name].trim() !== "");
  });
}

/** The row; what is empty is left out, so that the usual figure counts. */
export function bodyOf(typing: Typing, before: SiteBody | null): SiteBody {
  const figures = <N extends Figure>(names: readonly N[]): Partial<Record<N, number>> =>
    Object.fromEntries(
      names.flatMap((name) => {
        const value = readNumber(typing[name]);
        return typeof value === "number" ? [[name, value] as const] : [];
      }),
    ) as Partial<Record<N, number>>;
  const degrees = readNumber(typing.degrees);
  const rains = figures(OF_THE_RAINS);
  const levels = Object.fromEntries(
    Object.entries(figures(OF_THE_LEVELS)).map(([name, value]) => [
      name,
      PERCENT.has(name) ? Number((value / HUNDRED).toFixed(4)) : value,
    ]),
  );
  const emptied = Object.fromEntries(OWN.map((name) => [name, null]));
  return {
    ...before,
    ...emptied,
    ...figures(OWN),
    latitude: (typeof degrees === "number" ? degrees : 0) * (typing.side === "south" ? -1 : 1),
    ...(typing.soil === null ? {} : { soil: typing.soil }),
    rains,
    planting: levels,
    currency: typing.currency.trim() === "" ? null : typing.currency.trim(),
  };
}
