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

type OwnFigure =
  (typeof OF_THE_PLACE)[number] | (typeof OF_THE_DAYS)[number] | (typeof OF_THE_WORK)[number];
type RainFigure = (typeof OF_THE_RAINS)[number];
export type Figure = OwnFigure | RainFigure;
const OWN: readonly OwnFigure[] = [...OF_THE_PLACE, ...OF_THE_DAYS, ...OF_THE_WORK];
const WHOLE: ReadonlySet<string> = new Set([
  ...["within_days", "dry_days", "ahead_days", "follow_up_days", "plants_per_day"],
]);

export interface SiteBody extends Partial<Record<OwnFigure, number | null>> {
  readonly latitude: number;
  readonly soil?: Soil;
  readonly rains?: Partial<Record<RainFigure, number>>;
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
  return {
    ...(Object.fromEntries([...own, ...rains]) as Record<Figure, string>),
    degrees: body ? figure(Math.abs(body.latitude)) : "",
    side: body === null ? null : body.latitude < 0 ? "south" : "north",
    soil: body?.soil ?? null,
    currency: body?.currency ?? "",
  };
}

/** What is wrong with a field, by the end of its word's key. */
export type Wrong = "no_figure" | "two_ways" | "not_whole" | "missing";

export function wrongOf(typing: Typing): Map<keyof Typing, Wrong> {
  const found = new Map<keyof Typing, Wrong>();
  for (const name of ["degrees", ...OWN, ...OF_THE_RAINS] as const) {
    const text = typing[name].trim();
    const value = readNumber(text);
    if (text === "") continue;
    if (value === null) found.set(name, "no_figure");
    else if (value === "ask") found.set(name, "two_ways");
    else if (WHOLE.has(name) && !Number.isInteger(value)) found.set(name, "not_whole");
  }
  if (typing.degrees.trim() === "") found.set("degrees", "missing");
  if (typing.side === null) found.set("side", "missing");
  return found;
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
  const emptied = Object.fromEntries(OWN.map((name) => [name, null]));
  return {
    ...before,
    ...emptied,
    ...figures(OWN),
    latitude: (typeof degrees === "number" ? degrees : 0) * (typing.side === "south" ? -1 : 1),
    ...(typing.soil === null ? {} : { soil: typing.soil }),
    rains,
    currency: typing.currency.trim() === "" ? null : typing.currency.trim(),
  };
}
