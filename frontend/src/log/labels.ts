/**
 * Labels as people read them: which are one label written twice, which are taken for another.
 *
 * Twin of `nursery/domain/labels.py`; `tests/vectors/labels.json` keeps the two alike.
 */
const PIECES = /[0-9]+|[\p{L}\p{Nl}\p{No}]+/gu;
const FIGURES = /^[0-9]+$/;
/** Signs that are read for one another on wet paper. (Common practice, no source.) */
const TWINS: Readonly<Record<string, string>> = {
  ...{ O: "0", Q: "0", I: "1", L: "1" },
  ...{ S: "5", Z: "2", B: "8" },
};

/** The one way to write a label: capitals, no spaces, no leading zeros. */
export function canonical(label: string): string {
  return pieces(label)
    .map((piece) => (FIGURES.test(piece) ? piece.replace(/^0+(?=.)/, "") : piece))
    .join("");
}

/** The letters and numbers of a label, apart: `TR`, `3`. */
export function pieces(label: string): string[] {
  return label.normalize("NFKC").toUpperCase().match(PIECES) ?? [];
}

/** A label as it is read aloud: letter by letter, numbers whole. */
export function spoken(label: string): string {
  return pieces(label)
    .map((piece) => (FIGURES.test(piece) ? piece : Array.from(piece).join(" ")))
    .join(" ");
}

/**
 * Whether two labels are easily taken for one another: one number and letters that differ by one
 * at most, digits turned round, or signs that look the same.
 */
export function alike(one: string, other: string): boolean {
  const first = canonical(one);
  const second = canonical(other);
  if (first === second || looks(first) === looks(second)) return true;
  const [letters, digits] = apart(first);
  const [otherLetters, otherDigits] = apart(second);
  if (letters === otherLetters) return digits.length > 1 && sorted(digits) === sorted(otherDigits);
  return digits !== "" && digits === otherDigits && oneApart(letters, otherLetters);
}

function looks(label: string): string {
  return Array.from(label)
    .map((sign) => TWINS[sign] ?? sign)
    .join("");
}

function apart(label: string): [letters: string, digits: string] {
  return [label.replace(/[0-9]/g, ""), label.replace(/[^0-9]/g, "")];
}

function sorted(digits: string): string {
  return Array.from(digits).sort().join("");
}

function oneApart(one: string, other: string): boolean {
  const [short, long] = [Array.from(one), Array.from(other)].sort(
    (a, b) => a.length - b.length,
  ) as [string[], string[]];
  if (short.length === long.length) return short.filter((sign, i) => sign !== long[i]).length === 1;
  return (
    long.length - short.length === 1 &&
    long.some((_, i) => long.filter((_, j) => j !== i).join("") === short.join(""))
  );
}
