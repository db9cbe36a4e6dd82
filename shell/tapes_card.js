// The card of the machine at hand, from the page of any tapes: what the tapes came to is a visit of its own kind there. What it
// holds is the program's; the cards themselves are judged by the instrument's program, which is not here.
/** @import {NewVisit} from "./types" */
import { new_id } from "./card_book.js";
import { CardStore } from "./card_store.js";
import { now_text } from "./dates.js";
import { kept } from "./settings_store.js";
import { tr } from "./words.js";

const is_same = (/** @type {NewVisit | undefined} */ a, /** @type {NewVisit} */ b) => JSON.stringify(a?.by_tapes) === JSON.stringify(b.by_tapes);

export class TapesCard {
  #store = new CardStore(() => {});

  // Of the machine at hand; nothing where it has no card.
  async at_hand() {
    const id = kept("card");
    return (await this.#store.all("cards")).find((card) => card.id === id);
  }
  // Says what became of it. What the newest visit holds already is not put there twice.
  /** @param {NewVisit} visit */
  async write(visit) {
    const whole = { ...visit, id: new_id(), time: now_text(), changed_ms: Date.now() };
    /** @type {string | undefined} */
    let name;
    await this.#store.change("cards", kept("card") ?? "", (there) => {
      if (!there) return undefined;
      name = there.name || tr("A machine without a name");
      const visits = there.visits ?? [];
      return is_same(visits.at(-1), visit) ? undefined : { ...there, visits: [...visits, whole] };
    });
    return name === undefined ? "" : tr("It stands on the card of {0}.", name);
  }
}
