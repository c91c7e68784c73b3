/** What is known of an arrival before its first tray is written. */
export interface Opening {
  step: number;
  seal: string;
  boxes: number;
  /** Names of pictures: of the boxes, and of the paper. */
  photos: string[];
  papers: string[];
  /** The paper's figure as it was tapped; it never opens an account. */
  stated: string;
  room: string;
  bench: string;
  crop: string;
  head: string;
  first: number;
  many: number;
  cells: string;
}

export const BLANK: Opening = {
  step: 0,
  seal: "",
  boxes: 1,
  photos: [],
  papers: [],
  stated: "",
  room: "",
  bench: "",
  crop: "",
  head: "",
  first: 0,
  many: 1,
  cells: "",
};
