// The card of the machine at hand, from the page of any tapes: a line among its notes says what the tapes came to. The cards
// themselves are judged by the instrument's program, which is not here.
import { CardStore } from "./card_store.js";
import { now_text } from "./dates.js";
import { kept } from "./settings_store.js";
import { tr } from "./words.js";

const kLongestNote = 1000; // letters, as the card's own field

export class TapesCard {
  #store = new CardStore(() => {});

  // Of the machine at hand; nothing where it has no card.
  async at_hand() {
    const id = kept("card");
    return (await this.#store.all("cards")).find((card) => card.id === id);
  }
  // Says what became of it.
  /** @param {string} result @param {number} tapes */
  async write(result, tapes) {
    const line = tapes === 1 ? tr("{0}: one tape says {1}", now_text(), result) : tr("{0}: {1} tapes say {2}", now_text(), tapes, result);
    let fits = false;
    const card = await this.#store.change("cards", kept("card") ?? "", (there) => {
      if (!there) return undefined;
      const note = there.note ? `${there.note}\n${line}` : line;
      fits = note.length <= kLongestNote;
      return fits ? { ...there, note, changed_ms: Date.now() } : undefined;
    });
    if (card) return tr("It stands among the notes on the card of {0}.", card.name ?? "");
    return fits ? "" : tr("There is no room among the notes of that card.");
  }
}
