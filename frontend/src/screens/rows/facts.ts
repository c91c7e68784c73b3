/** What a list says of each row beside its name. */
import { speech } from "../../parts/speech.svelte";
import { names } from "../names.svelte";
import type { Row } from "../permits/shapes";
import type { ProgramBody } from "./programs";
import { seedsOf } from "../raise/raising";
import type { SeedBody } from "./seeds";
import type { CropBody, Kind, ListBody, NamedBody, PestBody, Said, Table } from "./shapes";

export interface Fact {
  readonly says: string;
  readonly stop?: boolean;
}

/** What a row is called in a language. */
export function titleOf({ name, called }: NamedBody, language: string): string {
  return called?.find((one) => one.language === language)?.text ?? name;
}

/** What a text says in a language; where nobody wrote it there, in the first that has it. */
export function textOf(says: readonly Said[], language: string): string {
  return (says.find((one) => one.language === language) ?? says[0])?.text ?? "";
}

export function factsOf(kind: Kind, row: Row<NamedBody>, table: Table): Fact[] {
  const facts = {
    pest: () => ofPest(row.id, row.body, table),
    crop: () => ofCrop(row.body),
    seed_lot: () => ofSeed(row.body),
    checklist: () => ofList(row.body as ListBody),
    program: () => ofProgram(row.body as ProgramBody),
  };
  return facts[kind]().filter(({ says }) => says !== "");
}

function ofPest(id: string, body: PestBody, table: Table): Fact[] {
  const { say } = speech;
  const hosts = body.hosts ?? [];
  const crops = speech.join(hosts.map((host) => names.of("crop", host)));
  return [
    { says: [body.botanical, body.code].filter(Boolean).join(" · ") },
    { says: hosts.length === 0 ? say("rows.on_all") : say("rows.on_some", { names: crops }) },
    ...table.listings
      .filter(({ pest }) => pest === id)
      .map(({ permit, since }) => ({
        says:
          permit === ""
            ? say("rows.listed_own", { since })
            : say("rows.listed_by", { reference: names.of("permit", permit), since }),
        stop: true,
      })),
  ];
}

function ofCrop(body: CropBody): Fact[] {
  const { say } = speech;
  return [
    { says: [body.botanical, body.cultivar].filter(Boolean).join(" · ") },
    ...(body.pots ?? []).map(({ container, full_days, per_m2 }) => ({
      says: [
        container,
        ...(per_m2 == null ? [] : [say("rows.pot_stand", { n: per_m2 })]),
        ...(full_days == null ? [] : [say("rows.pot_full", { n: full_days })]),
      ].join(", "),
    })),
  ];
}

function ofSeed(body: SeedBody): Fact[] {
  const { say } = speech;
  const seeds = seedsOf(body);
  const tested = body.germination_percent ?? null;
  return [
    { says: [body.crop && names.of("crop", body.crop), body.source].filter(Boolean).join(" · ") },
    { says: seeds === null ? "" : say("sow.estimate", { n: seeds }) },
    { says: tested === null ? "" : say("rows.seed_told", { n: tested }) },
  ];
}

function ofList({ items, version, asked_at: at }: ListBody): Fact[] {
  const { say } = speech;
  const lines = items.map(({ says }) => textOf(says, speech.language));
  return [
    { says: say("rows.version", { n: version }) },
    { says: at === "arrival" ? say("rows.at_arrival") : "" },
    { says: lines.join("; ") },
  ];
}

function ofProgram({ steps, source, crops = [] }: ProgramBody): Fact[] {
  const { say } = speech;
  const shades = steps.map(({ shade_percent: n, sun_hours: hours }) =>
    hours == null ? `${n} %` : `${n} %, ${say("line.sun_hours", { n: hours })}`,
  );
  return [
    { says: speech.join(crops.map((crop) => names.of("crop", crop))) },
    { says: shades.join(" → ") },
    { says: source },
  ];
}
