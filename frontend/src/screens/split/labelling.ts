/** What a label that somebody wants to write says to those who know the others. */
import { alike, canonical } from "../../log/labels";

export interface Worn {
  readonly id: string;
  readonly label: string | null;
  readonly closed: boolean;
}

export interface LabelSays {
  /** It stands on another living batch. */
  readonly twice: boolean;
  /** It stood on a batch that is closed: it may be used again. */
  readonly before: boolean;
  /** Labels of living batches and of places that it is easily taken for. */
  readonly alike: readonly string[];
}

/** `own` is the batch that gets the label, if it stands here already; `short` the names of places. */
export function labelSays(
  label: string,
  own: string | null,
  batches: Iterable<Worn>,
  short: readonly string[],
): LabelSays {
  const wanted = canonical(label);
  const others = [...batches].filter((one) => one.id !== own && one.label !== null) as Named[];
  const same = others.filter((one) => canonical(one.label) === wanted);
  const near = [...others.filter(({ closed }) => !closed).map((one) => one.label), ...short];
  return {
    twice: same.some(({ closed }) => !closed),
    before: same.length > 0 && same.every(({ closed }) => closed),
    alike: [...new Set(near.filter((one) => canonical(one) !== wanted && alike(one, label)))],
  };
}

type Named = Worn & { readonly label: string };

/** The label of plants of which nobody knows whose they are: U, then U2. */
export function uncertainLabel(labels: readonly string[]): string {
  const taken = new Set(labels.map(canonical));
  let label = "U";
  for (let n = 2; taken.has(label); n += 1) label = `U${n}`;
  return label;
}

/** Letters of a label, and its number as it is typed. */
export function parted(label: string): { letters: string; number: string } {
  const letters = label.replace(/\d+$/, "");
  return { letters, number: label.slice(letters.length) };
}
