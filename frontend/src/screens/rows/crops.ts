/** A crop's row as it is being typed, with what is known of it in each container. */
import { figureText, readNumber } from "../../words/forms";
import { profileBody, profileTyping, wrongProfile, type ProfileTyping } from "./profile";
import type { CropBody, Pot, Wrong } from "./shapes";
import { namedBody, namingOf, plain, text, tidy, wrongNaming, type Naming } from "./typing";

export interface PotTyping {
  container: string;
  full_days: string;
  per_m2: string;
  source: string;
}

export interface CropTyping extends Naming {
  botanical: string;
  cultivar: string;
  pots: PotTyping[];
  profile: ProfileTyping;
}

export const NO_POT: PotTyping = { container: "", full_days: "", per_m2: "", source: "" };

export function cropTyping(body: CropBody | null, today: string, mark: string): CropTyping {
  const figure = (value: number | null | undefined): string =>
    typeof value === "number" ? figureText(value, mark) : "";
  return {
    ...namingOf(body, today),
    botanical: body?.botanical ?? "",
    cultivar: body?.cultivar ?? "",
    profile: profileTyping(body?.profile, mark),
    pots: (body?.pots ?? []).map(({ container, source, full_days, per_m2 }) => ({
      ...{ container, source, full_days: figure(full_days), per_m2: figure(per_m2) },
    })),
  };
}

/** Where on the sheet a field of one container stands. */
export function potField(i: number, name: keyof PotTyping): string {
  return `pot-${i}-${name}`;
}

export function wrongCrop(typed: CropTyping, others: readonly string[]): Wrong | null {
  const amiss = typed.pots.flatMap((pot, i) => wrongPot(typed, pot, i) ?? []);
  return wrongNaming(typed, others) ?? wrongProfile(typed.profile) ?? amiss[0] ?? null;
}

function wrongPot({ pots }: CropTyping, pot: PotTyping, i: number): Wrong | null {
  if (isEmpty(pot)) return null;
  const at = (name: keyof PotTyping, says?: Wrong["says"]): Wrong => ({
    ...{ field: potField(i, name), value: pot[name] === "" ? null : pot[name] },
    ...(says === undefined ? {} : { says }),
  });
  const container = tidy(pot.container);
  if (container === "") return at("container");
  const before = pots.slice(0, i);
  if (before.some((one) => plain(one.container) === plain(container))) {
    return at("container", "rows.twice");
  }
  if (isOddFigure(pot.full_days, true)) return at("full_days", "rows.odd_days");
  if (isOddFigure(pot.per_m2, false)) return at("per_m2", "rows.odd_per_m2");
  return tidy(pot.source) === "" ? at("source") : null;
}

function isEmpty(pot: PotTyping): boolean {
  return Object.values(pot).every((typed: string) => tidy(typed) === "");
}

/** What is no figure above nought; days are whole ones. */
function isOddFigure(typed: string, whole: boolean): boolean {
  if (tidy(typed) === "") return false;
  const value = readNumber(typed);
  return typeof value !== "number" || value <= 0 || (whole && !Number.isInteger(value));
}

export function cropBody(typed: CropTyping, before: CropBody | null): CropBody {
  const profile = profileBody(typed.profile);
  return {
    ...namedBody(typed, before),
    ...(profile !== null || before?.profile ? { profile } : {}),
    botanical: text(typed.botanical),
    cultivar: text(typed.cultivar),
    pots: typed.pots.filter((pot) => !isEmpty(pot)).map(potOf),
  };
}

function potOf(pot: PotTyping): Pot {
  const figure = (typed: string): number | null => {
    const value = readNumber(typed);
    return typeof value === "number" ? value : null;
  };
  const known = { full_days: figure(pot.full_days), per_m2: figure(pot.per_m2) };
  return {
    ...{ container: tidy(pot.container), source: tidy(pot.source) },
    ...Object.fromEntries(Object.entries(known).filter(([, value]) => value !== null)),
  };
}
