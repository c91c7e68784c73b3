/** The form of taking on: what stays from tray to tray, and the tray in hand. */
export interface TakingOn {
  /** The bench; empty as long as none is chosen. */
  place: string;
  crop: string;
  cells: number | null;
  /** Letters and number of the label in hand; 0 proposes the next. */
  head: string;
  number: number;
  alive: string;
  photos: string[];
  /** Pictures of the bench, which belong to its first tray. */
  bench: string[];
  held: boolean | null;
  permit: string;
  since: string | null;
  /** Whether crop, cells and conditions are shown: for the first tray, and where one differs. */
  open: boolean;
  done: { label: string; alive: number }[];
}

export const BLANK: TakingOn = {
  place: "",
  crop: "",
  cells: null,
  head: "",
  number: 0,
  alive: "",
  photos: [],
  bench: [],
  held: null,
  permit: "",
  since: null,
  open: true,
  done: [],
};
