/** A checklist as it is being typed: its lines in the languages of those who look. */
import { freeIdOf } from "../../log/seats";
import { readNumber } from "../../words/forms";
import { LANGUAGES, type Language } from "../../words/catalogue";
import type { Asked, ListBody, Said, Wrong } from "./shapes";
import { tidy, wrongNaming, type Naming } from "./typing";

export interface LineTyping {
  /** Empty for a line that no version of the list had before. */
  id: string;
  says: Record<Language, string>;
  plants: string;
}

export interface ListTyping extends Omit<Naming, "called"> {
  lines: LineTyping[];
}

export function noLine(): LineTyping {
  return { id: "", says: { en: "", es: "" }, plants: "" };
}

export function listTyping(body: ListBody | null, today: string): ListTyping {
  return {
    name: body?.name ?? "",
    since: body === null ? today : (body.since ?? null),
    until: body?.until ?? null,
    lines: body === null ? [noLine()] : body.items.map(lineOf),
  };
}

function lineOf({ id, says, plants }: Asked): LineTyping {
  const said = (language: Language): string =>
    says.find((one) => one.language === language)?.text ?? "";
  return {
    id,
    says: { en: said("en"), es: said("es") },
    plants: plants == null ? "" : String(plants),
  };
}

/** Where on the sheet the words or the plants of one line stand. */
export function lineField(i: number, name: "says" | "plants"): string {
  return `line-${i}-${name}`;
}

export function wrongList(typed: ListTyping, others: readonly string[]): Wrong | null {
  const amiss = typed.lines.flatMap((line, i) => wrongLine(line, i) ?? []);
  const none: Wrong | null = typed.lines.every(isEmpty)
    ? { field: "items", value: null, says: "rows.no_lines" }
    : null;
  return wrongNaming(typed, others) ?? amiss[0] ?? none;
}

function wrongLine(line: LineTyping, i: number): Wrong | null {
  if (isEmpty(line)) return null;
  if (wordsOf(line).length === 0) return { field: lineField(i, "says"), value: null };
  const plants = tidy(line.plants);
  if (plants === "") return null;
  const value = readNumber(plants);
  return typeof value === "number" && Number.isInteger(value) && value > 0
    ? null
    : { field: lineField(i, "plants"), value: plants, says: "rows.odd_plants" };
}

function isEmpty(line: LineTyping): boolean {
  return wordsOf(line).length === 0 && tidy(line.plants) === "";
}

function wordsOf({ says }: LineTyping): Said[] {
  return LANGUAGES.map((language) => ({ language, text: tidy(says[language]) })).filter(
    ({ text }) => text !== "",
  );
}

/** The row; other lines than before are another version, which the records of a look name. */
export function listBody(typed: ListTyping, before: ListBody | null): ListBody {
  const items = itemsOf(typed, before);
  const same =
    before !== null && JSON.stringify(items) === JSON.stringify(itemsOf(again(before), before));
  return {
    ...before,
    name: tidy(typed.name),
    version: (before?.version ?? 0) + (same ? 0 : 1),
    items,
    since: typed.since,
    until: typed.until,
  };
}

function again(before: ListBody): ListTyping {
  return listTyping(before, "");
}

function itemsOf({ lines }: ListTyping, before: ListBody | null): Asked[] {
  const taken = lines.map(({ id }) => id).filter((id) => id !== "");
  return lines
    .filter((line) => !isEmpty(line))
    .map((line) => {
      const says = [...wordsOf(line), ...unspoken(line.id, before)];
      const id = line.id === "" ? freeIdOf(says[0]?.text ?? "", taken) : line.id;
      taken.push(id);
      const plants = readNumber(line.plants);
      return { id, says, ...(typeof plants === "number" ? { plants } : {}) };
    });
}

/** The words of a line in languages that the app does not speak: they stay. */
function unspoken(id: string, before: ListBody | null): readonly Said[] {
  const says = before?.items.find((one) => one.id === id)?.says ?? [];
  return says.filter(({ language }) => !(LANGUAGES as readonly string[]).includes(language));
}
