/**
 * Every sheet of the app by its name behind `#/`.
 *
 * The first sheets of a phone come with the app; the others are fetched when they are first opened,
 * from the same build, which the service worker keeps whole.
 */
import type { Component } from "svelte";
import { speech } from "../parts/speech.svelte";

/** What a sheet is given: the rest of its address. */
export type SheetProps = Record<"id" | "term", string>;
type Sheet = Component<SheetProps>;
type Load = () => Promise<{ default: unknown }>;

interface Entry {
  readonly load: Load;
  /** Who may open it without saying who they are: the emergency card is everybody's. */
  readonly open?: "anybody" | "office";
}

const SHEETS: Readonly<Record<string, Entry>> = {
  stock: { load: () => import("./stock/Stock.svelte"), open: "office" },
  looks: { load: () => import("./looks/Looks.svelte"), open: "office" },
  batch: { load: () => import("./batch/Batch.svelte"), open: "office" },
  acts: { load: () => import("./batch/More.svelte") },
  count: { load: () => import("./count/Count.svelte") },
  mine: { load: () => import("./mine/Mine.svelte") },
  fix: { load: () => import("./mine/Fix.svelte") },
  note: { load: () => import("./note/Note.svelte") },
  split: { load: () => import("./split/Split.svelte") },
  "lost-label": { load: () => import("./split/LostLabel.svelte") },
  relabel: { load: () => import("./split/Relabel.svelte") },
  "join-batches": { load: () => import("./split/Join.svelte") },
  move: { load: () => import("./move/Move.svelte") },
  lose: { load: () => import("./lose/Lose.svelte") },
  photo: { load: () => import("./photo/Take.svelte") },
  photos: { load: () => import("./photo/Photos.svelte"), open: "anybody" },
  pictures: { load: () => import("./pictures/Pictures.svelte"), open: "office" },
  people: { load: () => import("./people/People.svelte"), open: "office" },
  account: { load: () => import("./people/Account.svelte"), open: "office" },
  begin: { load: () => import("./begin/Begin.svelte"), open: "anybody" },
  reminders: { load: () => import("./reminders/Reminders.svelte"), open: "office" },
  backup: { load: () => import("./backup/Backup.svelte"), open: "office" },
  "take-away": { load: () => import("./away/TakeAway.svelte"), open: "office" },
  "bring-in": { load: () => import("./bring-in/BringIn.svelte"), open: "office" },
  room: { load: () => import("./room/Room.svelte") },
  rooms: { load: () => import("./rooms/Rooms.svelte"), open: "office" },
  match: { load: () => import("./match/Match.svelte"), open: "office" },
  treat: { load: () => import("./treat/Treat.svelte") },
  papers: { load: () => import("./papers/Papers.svelte") },
  bag: { load: () => import("./bag/BagSheet.svelte") },
  destroy: { load: () => import("./bag/Destroy.svelte") },
  sample: { load: () => import("./sample/SampleSheet.svelte") },
  pot: { load: () => import("./pot/Pot.svelte") },
  sow: { load: () => import("./raise/Sow.svelte") },
  emerged: { load: () => import("./raise/Emerged.svelte") },
  prick: { load: () => import("./raise/Prick.svelte") },
  cuttings: { load: () => import("./raise/Cuttings.svelte") },
  rooted: { load: () => import("./raise/Rooted.svelte") },
  graft: { load: () => import("./raise/Graft.svelte") },
  take: { load: () => import("./raise/Take.svelte") },
  feed: { load: () => import("./raise/Feed.svelte") },
  toughen: { load: () => import("./toughen/Toughen.svelte") },
  measure: { load: () => import("./measure/Measure.svelte") },
  grade: { load: () => import("./grade/Grade.svelte") },
  roots: { load: () => import("./pot/Roots.svelte") },
  fill: { load: () => import("./survey/Fill.svelte") },
  survey: { load: () => import("./survey/Survey.svelte") },
  scout: { load: () => import("./scout/Scout.svelte") },
  prune: { load: () => import("./pot/Prune.svelte") },
  access: { load: () => import("./access/Access.svelte") },
  inside: { load: () => import("./access/Evening.svelte") },
  arrive: { load: () => import("./arrive/Arrive.svelte") },
  "take-on": { load: () => import("./takeon/TakeOn.svelte") },
  scan: { load: () => import("./scan/ScanSheet.svelte") },
  consignments: { load: () => import("./consignments/Consignments.svelte"), open: "office" },
  permits: { load: () => import("./permits/Permits.svelte"), open: "office" },
  rows: { load: () => import("./rows/Rows.svelte"), open: "office" },
  products: { load: () => import("./products/Products.svelte"), open: "office" },
  "what-if": { load: () => import("./what-if/WhatIf.svelte"), open: "office" },
  "plan-back": { load: () => import("./plan-back/PlanBack.svelte"), open: "office" },
  season: { load: () => import("./season/Season.svelte"), open: "office" },
  trace: { load: () => import("./trace/Trace.svelte"), open: "office" },
  standing: { load: () => import("./standing/Standing.svelte"), open: "office" },
  weather: { load: () => import("./weather/Weather.svelte"), open: "office" },
  logger: { load: () => import("./weather/Logger.svelte"), open: "office" },
  site: { load: () => import("./weather/Site.svelte"), open: "office" },
  weeks: { load: () => import("./weeks/PlantingWeeks.svelte"), open: "office" },
  file: { load: () => import("./file/File.svelte"), open: "office" },
  hand: { load: () => import("./hand/Hand.svelte"), open: "office" },
  links: { load: () => import("./links/Links.svelte"), open: "office" },
  read: { load: () => import("./read/Read.svelte"), open: "anybody" },
  labels: { load: () => import("./labels/Labels.svelte"), open: "office" },
  unsent: { load: () => import("./unsent/Unsent.svelte"), open: "anybody" },
  round: { load: () => import("./round/Round.svelte") },
  look: { load: () => import("./look/Look.svelte") },
  suspect: { load: () => import("./suspect/Suspect.svelte") },
  lift: { load: () => import("./suspect/Lift.svelte") },
  planting: { load: () => import("./planting/Planting.svelte"), open: "office" },
  plant: { load: () => import("./plant/Plant.svelte") },
  block: { load: () => import("./block/Block.svelte"), open: "office" },
  "scan-out": { load: () => import("./plant/CarryOut.svelte") },
  may: { load: () => import("./may/May.svelte") },
  "from-paper": { load: () => import("./from-paper/FromPaper.svelte") },
  traps: { load: () => import("./traps/Traps.svelte") },
  trap: { load: () => import("./traps/Trap.svelte") },
  emergency: { load: () => import("./emergency/Emergency.svelte"), open: "anybody" },
  join: { load: () => import("./join/Join.svelte"), open: "anybody" },
};

/** The name of every sheet that there is. */
export const NAMES: readonly string[] = Object.keys(SHEETS);

export function entryOf(name: string): Entry | null {
  return Object.hasOwn(SHEETS, name) ? (SHEETS[name] ?? null) : null;
}

/** Fetch a sheet and its words while the phone still reads its disk. Whoever opens it says where that fails. */
export function fetchEarly(name: string): void {
  const entry = entryOf(name);
  if (entry) void Promise.all([entry.load(), speech.whole()]).catch(() => undefined);
}

const loaded = new Map<string, Sheet>();

/** The component of a sheet, or null where the app could not be fetched and kept nothing of it. */
export async function sheetOf(name: string): Promise<Sheet | null> {
  const known = loaded.get(name);
  if (known) return known;
  try {
    const [module] = await Promise.all([entryOf(name)?.load(), speech.whole()]);
    const sheet = module?.default as Sheet | undefined;
    if (sheet) loaded.set(name, sheet);
    return sheet ?? null;
  } catch {
    return null;
  }
}
