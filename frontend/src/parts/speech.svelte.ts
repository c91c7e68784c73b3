import { choose, FIRST, load, type Catalogue, type Key, type Language } from "../words/catalogue";
import type { House, Params } from "../words/forms";
import { PLAIN, speaker } from "../words/say";

/** The language that the sheets speak now, and the manner of the nursery. */
class Speech {
  language = $state<Language>("en");
  house = $state.raw<House>(PLAIN);
  #catalogue = $state.raw<Catalogue>({});
  readonly #speaker = $derived(speaker(this.language, this.#catalogue, this.house));

  #rest: Promise<void> | null = null;

  /** Speak another language. Where its file cannot be had, the one spoken so far stays. */
  async speak(language: Language): Promise<void> {
    const catalogue = await load(language);
    this.#rest = Promise.resolve();
    this.#set(language, catalogue);
  }

  /** Begin with what the first route says; the rest is asked for by `whole`. */
  begin(language: Language): void {
    this.#set(language, FIRST[language]);
  }

  /** When this is done, every sheet has its words. */
  async whole(): Promise<void> {
    this.#rest ??= this.speak(this.language);
    try {
      await this.#rest;
    } catch (trouble) {
      this.#rest = null;
      throw trouble;
    }
  }

  #set(language: Language, catalogue: Catalogue): void {
    this.#catalogue = catalogue;
    this.language = language;
    document.documentElement.lang = language;
  }

  readonly say = (key: Key, params?: Params): string => this.#speaker.say(key, params);

  /** A word for a code that came from the office; null where this version knows none. */
  readonly word = (key: string, params?: Params): string | null => this.#speaker.word(key, params);

  readonly join = (items: readonly string[], word: "and" | "or" = "and"): string =>
    this.#speaker.join(items, word);
}

export const speech = new Speech();
export { choose };
