/**
 * What a scan or a typed label means here: found, or something that a person must look at.
 *
 * Nothing is guessed: another than the one wanted, a place where a tray is wanted, a code that
 * nobody knows stop; a label that is taken for another is asked about.
 */
import { read, type What } from "../log/codes";
import { alike, canonical } from "../log/labels";
import type { Choice } from "./choice";

export interface Desk {
  /** The id of the one that must come, where there is one. */
  readonly expect: string | null;
  /** What may be chosen here. */
  readonly choices: readonly Choice[];
  /** What is known and cannot be chosen here; it is named where it comes by mistake. */
  readonly others: readonly Choice[];
}

export type Verdict =
  | { readonly is: "found"; readonly id: string }
  /** Another than wanted. `may` says whether it could be taken instead. */
  | { readonly is: "other"; readonly found: Choice; readonly may: boolean }
  /** A code that names nothing known here; null where it is no code of a label at all. */
  | { readonly is: "stranger"; readonly what: What | null }
  | { readonly is: "nowhere"; readonly label: string }
  /** An old label: the batch bears another one now. */
  | { readonly is: "renamed"; readonly found: Choice; readonly label: string }
  | { readonly is: "which"; readonly choices: readonly Choice[] };

export function scanned(text: string, desk: Desk): Verdict {
  const code = read(text);
  if (!code) return { is: "stranger", what: null };
  const same = ({ id, kind }: Choice): boolean => id === code.id && kind === code.what;
  const found = desk.choices.find(same) ?? desk.others.find(same);
  return found ? picked(found, desk) : { is: "stranger", what: code.what };
}

export function typed(text: string, desk: Desk): Verdict {
  const all = [...desk.choices, ...desk.others];
  const label = canonical(text);
  const exact = all.filter((one) => canonical(one.label) === label);
  const once = all.filter((one) => !exact.includes(one) && bore(one, label));
  const near = all.filter(
    (one) => !exact.includes(one) && !once.includes(one) && alike(one.label, text),
  );
  const [first, before] = [exact[0], once[0]];
  if (exact.length + once.length + near.length > 1 && (first ?? before)) {
    const named = once.map((one) => ({ ...one, was: text }));
    return { is: "which", choices: [...exact, ...named, ...near] };
  }
  if (first) return picked(first, desk);
  return before ? { is: "renamed", found: before, label: text } : { is: "nowhere", label: text };
}

function bore({ former = [] }: Choice, label: string): boolean {
  return former.some((one) => canonical(one) === label);
}

/** One that a person chose or whose code was read. */
export function picked(found: Choice, desk: Desk): Verdict {
  const may = desk.choices.some(({ id, kind }) => id === found.id && kind === found.kind);
  const wanted = desk.expect === null ? may : found.id === desk.expect && found.kind === "batch";
  return wanted ? { is: "found", id: found.id } : { is: "other", found, may };
}

export function wantedOf({ expect, choices, others }: Desk): Choice | null {
  if (expect === null) return null;
  return [...choices, ...others].find(({ id, kind }) => id === expect && kind === "batch") ?? null;
}
