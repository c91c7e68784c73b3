import type { Entry } from "../../log/entry";
import { entriesOf } from "../../shelf/folding";
import { phone } from "../phone.svelte";

/** The records about some subjects, read again whenever this phone saves or hears something. */
export class BookOf {
  entries = $state.raw<readonly Entry[]>([]);
  read = $state(false);
  /** When this phone last saved or heard something, as of what is read here. */
  asOf = $state("");

  constructor(subjects: () => readonly string[]) {
    $effect(() => {
      const [saved, heard] = [phone.savedAt ?? "", phone.heardAt ?? ""];
      let over = false;
      void Promise.all(subjects().map((one) => phone.about(one))).then((lines) => {
        if (over) return;
        this.entries = entriesOf(lines.flat());
        this.read = true;
        this.asOf = saved > heard ? saved : heard;
      });
      return () => {
        over = true;
      };
    });
  }
}
