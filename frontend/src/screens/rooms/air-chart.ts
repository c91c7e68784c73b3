/** Where figures of an instrument are drawn: runs, and the gaps between them. */
export interface Read {
  readonly ms: number;
  readonly value: number;
}

export interface Drawn {
  readonly x: number;
  readonly y: number;
}

export interface Chart {
  readonly runs: readonly (readonly Drawn[])[];
  readonly gaps: readonly { readonly from: number; readonly to: number }[];
  readonly least: number;
  readonly most: number;
  readonly top: number;
  readonly bottom: number;
}

interface Box {
  readonly left: number;
  readonly width: number;
  readonly height: number;
}

const EDGE = 12;

/** One figure alone stands in the middle; equal figures lie on the upper line. */
export function points(runs: readonly (readonly Read[])[], { left, width, height }: Box): Chart {
  const all = runs.flat();
  const values = all.map(({ value }) => value);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const [first = 0, last = 0] = [all[0]?.ms, all.at(-1)?.ms];
  const [top, bottom] = [EDGE, height];
  const wide = Math.max(1, width - left - 2 * EDGE);
  const x = (ms: number): number =>
    tenth(left + EDGE + (first === last ? wide / 2 : ((ms - first) / (last - first)) * wide));
  const y = (value: number): number =>
    tenth(most === least ? top : bottom - ((value - least) / (most - least)) * (bottom - top));
  const drawn = runs.map((run) => run.map(({ ms, value }) => ({ x: x(ms), y: y(value) })));
  const gaps = drawn.slice(1).map((run, i) => ({
    from: drawn[i]?.at(-1)?.x ?? left,
    to: run[0]?.x ?? left,
  }));
  return { runs: drawn, gaps, least, most, top, bottom };
}

function tenth(figure: number): number {
  return Math.round(figure * 10) / 10;
}
