/** A row as it is being typed, what is wrong with it, and the row that it makes. */
import { LANGUAGES, type Language } from "../../words/catalogue";
import type { Row } from "../permits/shapes";
import { lookingBody, lookingTyping, wrongLooking, type LookingTyping } from "./develops";
import type { NamedBody, PestBody, Wrong } from "./shapes";

/** What is typed of every row that people choose by its name. */
export interface Naming {
  name: string;
  called: Record<Language, string>;
  since: string | null;
  until: string | null;
}

export interface PestTyping extends Naming, LookingTyping {
  code: string;
  botanical: string;
  hosts: readonly string[];
  /** Captures per trap and day from which something is done, as it is typed. */
  actFrom: string;
}

export function namingOf(body: NamedBody | null, today: string): Naming {
  const said = (language: Language): string =>
    body?.called?.find((one) => one.language === language)?.text ?? "";
  return {
    name: body?.name ?? "",
    called: Object.fromEntries(LANGUAGES.map((one) => [one, said(one)])) as Naming["called"],
    since: body === null ? today : (body.since ?? null),
    until: body?.until ?? null,
  };
}

export function pestTyping(body: PestBody | null, today: string, mark = "."): PestTyping {
  return {
    ...namingOf(body, today),
    ...lookingTyping(body, mark),
    code: body?.code ?? "",
    botanical: body?.botanical ?? "",
    hosts: body?.hosts ?? [],
    actFrom: body?.act_from ? String(body.act_from) : "",
  };
}

/** What is wrong with the name or the days; `others` are the names that other rows have. */
export function wrongNaming(
  typed: Omit<Naming, "called">,
  others: readonly string[],
): Wrong | null {
  const name = tidy(typed.name);
  if (name === "") return { field: "name", value: null };
  if (others.some((other) => plain(other) === plain(name))) {
    return { field: "name", value: name, says: "rows.twice" };
  }
  const ends = typed.since !== null && typed.until !== null && typed.until < typed.since;
  return ends ? { field: "until", value: typed.until, says: "rows.ends_first" } : null;
}

const CODE = /^[A-Z0-9]{5,6}$/;

export function wrongPest(typed: PestTyping, others: readonly string[]): Wrong | null {
  const code = codeOf(typed.code);
  const odd = code !== "" && !CODE.test(code);
  return (
    wrongNaming(typed, others) ??
    wrongLevel(typed) ??
    (odd ? { field: "code", value: code, says: "rows.odd_code" } : null) ??
    wrongLooking(typed)
  );
}

function wrongLevel({ actFrom }: PestTyping): Wrong | null {
  const level = levelOf(actFrom);
  if (level === null || level > 0) return null;
  return { field: "act_from", value: tidy(actFrom), says: "rows.odd_level" };
}

/** Null where nothing is typed; a comma is as good as a point. */
function levelOf(typed: string): number | null {
  const found = tidy(typed).replace(",", ".");
  return found === "" ? null : Number(found);
}

/** The name and the days of a row; what this form does not show stays as it was. */
export function namedBody(typed: Naming, before: NamedBody | null): NamedBody {
  const others = (before?.called ?? []).filter(
    ({ language }) => !(LANGUAGES as readonly string[]).includes(language),
  );
  const typedIn = LANGUAGES.map((language) => ({ language, text: tidy(typed.called[language]) }));
  const called = [...typedIn.filter(({ text }) => text !== ""), ...others];
  return {
    ...before,
    name: tidy(typed.name),
    called,
    since: typed.since,
    until: typed.until,
  };
}

export function pestBody(typed: PestTyping, before: PestBody | null): PestBody {
  return {
    ...namedBody(typed, before),
    code: text(codeOf(typed.code)),
    botanical: text(typed.botanical),
    hosts: typed.hosts,
    act_from: levelOf(typed.actFrom),
    ...lookingBody(typed, before),
  };
}

export function text(typed: string): string | null {
  const found = tidy(typed);
  return found === "" ? null : found;
}

export function tidy(typed: string): string {
  return typed.trim().split(/\s+/).join(" ");
}

export function plain(name: string): string {
  return tidy(name).toLowerCase();
}

/** A code is written in capitals, however it was typed. */
function codeOf(typed: string): string {
  return typed.trim().toUpperCase();
}

/** The names of all rows but one. */
export function namesBut(row: Row<NamedBody> | null, rows: readonly Row<NamedBody>[]): string[] {
  return rows.filter(({ id }) => id !== row?.id).map(({ body }) => body.name);
}
