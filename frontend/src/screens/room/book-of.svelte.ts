import type { Entry } from "../../log/entry";
import type { CopyLine } from "../../shelf/copy";
import { entriesOf } from "../../shelf/folding";
import { phone } from "../phone.svelte";

/** The records about some subjects, read again whenever this phone saves or hears something. */
export class BookOf {
  entries = $state.raw<readonly Entry[]>([]);
  /** The same as texts; one about several of the subjects stands there for each. */
  lines = $state.raw<readonly CopyLine[]>([]);
  read = $state(false);
  /** When this phone last saved or heard something, as of what is read here. */
  asOf = $state("");

  constructor(subjects: () => readonly string[]) {
    $effect(() => {
      const [saved, heard] = [phone.savedAt ?? "", phone.heardAt ?? ""];
      let over = false;
      void Promise.all(subjects().map((one) => phone.about(one))).then((lines) => {
        if (over) return;
        this.lines = lines.flat();
        this.entries = entriesOf(this.lines);
        this.read = true;
        this.asOf = saved > heard ? saved : heard;
      });
      return () => {
        over = true;
      };
    });
  }
}
