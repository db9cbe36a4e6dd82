// Friend: the dialog for links. One asks a friend to check their machine; one carries the result back; one that came is
// filed on a card. What a link holds is made and read by the records; here it is shown, copied, shared and drawn as a code.
/** @import {CardBook} from "./card_book.js" */
/** @import {CardsDialog} from "./cards.js" */
/** @import {Ask, CardsTold, FiledTold, Friend, LinkTold, NewVisit, State} from "./types" */
import { correction, generate } from "lean-qr/nano";
import { new_id } from "./card_book.js";
import { today } from "./dates.js";
import { $, $canvas, $dialog, $input, $select, all, one_at_a_time, set_text, when_opened } from "./dom.js";
import { held } from "./held.js";
import { keep, kept } from "./settings_store.js";
import { number_text, tr } from "./words.js";

const kLongest = 400; // characters in all: what chat programs carry unharmed
const kMostAsks = 50;
const kTitles = { ask: tr("A link for a friend"), answer: tr("Send the result back"), file: tr("A friend's result") };

// The cards for which was asked: of the id of an asking, a card's.
/** @returns {Record<string, string>} */
const kept_asks = () => JSON.parse(kept("asks") ?? "{}");

export class FriendDialog {
  #book;
  #cards;
  #ask;
  #link;
  #press;
  #dialog = $dialog("friend");
  #kind = $input("friend-kind");
  #note = $input("friend-note");
  #link_field = $input("friend-link");
  #card = $select("friend-card");
  /** @type {Friend} */
  #told = { mode: "ask", id: "", said: "" };
  /** @type {State | undefined} */
  #state;
  /** @type {NewVisit | undefined} */
  #answer;   // the visit that goes back
  #filed = false;
  #ask_id = new_id().slice(0, 10);

  // link: the one that came last, though the address may have changed since.
  /**
   * @param {CardBook} book
   * @param {CardsDialog} cards
   * @param {{ask: Ask, press: (act: string) => void, link: () => string}} page
   */
  constructor(book, cards, { ask, press, link }) {
    this.#link = link;
    this.#book = book;
    this.#cards = cards;
    this.#ask = ask;
    this.#press = press;
    for (const id of ["friend-kind", "friend-note"]) $(id).addEventListener("input", () => this.#make());
    $("friend-copy").addEventListener("click", () => this.#copy());
    $("friend-share").addEventListener("click", () => navigator.share({ url: this.#link_field.value }).catch(() => {}));
    $("friend-file").addEventListener("click", one_at_a_time(() => this.#file()));
    $("friend-drop").addEventListener("click", () => this.#close());
    when_opened(this.#dialog, () => {
      this.#filed = false;
      this.#said("");
      this.#show();
    });
  }

  // The visit that goes back is the one that was measured for it: no later one, none of the demo.
  /** @param {NewVisit} visit @param {{demo: boolean}} where */
  answered_with(visit, { demo }) {
    if (!demo && this.#told.mode !== "answer") this.#answer = visit;
  }
  /** @param {State} state */
  show(state) {
    const before = JSON.stringify(this.#told);
    this.#state = state;
    this.#told = state.friend;
    this.#greet(state.usable["act-answer"] && state.friend.mode === "ask");
    if (JSON.stringify(this.#told) === before) return; // the mirror may lag behind what was filed just now
    if (this.#told.mode === "file") this.#filed = false;
    if (this.#dialog.open && !this.#filed) this.#show();
  }

  // Whoever comes by a friend's link meets the question first, and one button that answers it.
  /** @param {boolean} asked */
  #greet(asked) {
    $("welcome-friend").hidden = !asked;
    const button = $("welcome-listen"), act = asked ? "act-answer" : "act-listen";
    set_text($("welcome-friend"), asked ? held(this.#told.said) : "");
    if (button.dataset.act === act) return;
    button.dataset.act = act;
    set_text(button, asked ? tr("Measure it for them") : tr("Listen to a tape"));
  }

  #show() {
    const { mode, said } = this.#told;
    $("friend-title").textContent = kTitles[mode];
    $("friend-filed").hidden = true;
    this.#dialog.dataset.mode = mode;
    for (const part of all(this.#dialog, "[data-mode]", HTMLElement)) {
      part.hidden = !part.dataset.mode?.split(" ").includes(mode);
    }
    $("friend-came").textContent = held(said);
    $("friend-came").hidden = said === "" || mode === "ask";
    if (mode === "file") this.#show_cards();
    else this.#make();
  }
  #show_cards() {
    const asks = kept_asks();
    const options = this.#book.cards.map(({ id, name }) => new Option(name || tr("A machine without a name"), id));
    this.#card.replaceChildren(...options, new Option(tr("A new card"), ""));
    this.#card.value = this.#book.cards.some(({ id }) => id === asks[this.#told.id]) ? asks[this.#told.id] : "";
  }

  #make() {
    const note = this.#note.value.trim();
    /** @type {LinkTold} */
    let told;
    if (this.#told.mode === "answer") {
      const visit = { ...this.#answer, id: "one" };
      const one = JSON.stringify({ schema: "four76.cards/1", cards: [{ id: "one", visits: [visit] }] });
      told = JSON.parse(this.#ask("answer", one, this.#told.id, today(), note));
      /** @type {CardsTold} */
      const read = JSON.parse(this.#ask("read", one));
      $("friend-result").textContent = held(read.fault ? "" : (read.cards[0]?.visits[0]?.speed ?? ""));
    } else {
      if (!this.#state) return; // nothing to ask with yet
      const { tone, tolerance, "tape-tolerance": tape } = this.#state.controls;
      told = JSON.parse(this.#ask("ask", this.#ask_id, [tone.value, tolerance.value, tape.value].join(";"), this.#kind.value.trim(), note));
      $("friend-setting").textContent = held(tr("Their page will be set to a {0} Hz tape, good within {1} %.", number_text(Number(tone.value)), number_text(Number(tolerance.value))));
    }
    const link = told.fault ? "" : `${location.origin}${location.pathname}#${told.link}`;
    const fits = link.length > 0 && link.length <= kLongest;
    this.#said(told.fault || (link && !fits ? tr("That does not fit into a link: shorten the note.") : ""));
    $("friend-out").hidden = !fits;
    if (!fits) return;
    this.#link_field.value = link;
    $("friend-share").hidden = !navigator.share;
    generate(link, { minCorrectionLevel: correction.L }).toCanvas($canvas("friend-code"), { on: [0, 0, 0, 255], off: [255, 255, 255, 255] });
  }
  async #copy() {
    this.#remember();
    try {
      await navigator.clipboard.writeText(this.#link_field.value);
      this.#said(tr("Copied."));
    } catch {
      this.#link_field.select(); // the person can copy what is chosen
      this.#said(tr("This browser does not let the page copy: the link is marked, copy it by hand."));
    }
  }
  // An answer finds the card of the machine for which it was asked.
  #remember() {
    if (this.#told.mode !== "ask" || !this.#book.chosen_id) return;
    const asks = Object.entries(kept_asks()).filter(([id]) => id !== this.#ask_id).slice(1 - kMostAsks);
    keep("asks", JSON.stringify(Object.fromEntries([...asks, [this.#ask_id, this.#book.chosen_id]])));
  }

  async #file() {
    /** @type {FiledTold} */
    const told = JSON.parse(this.#ask("filed", this.#link()));
    if (told.fault) {
      this.#said(told.fault);
      return;
    }
    const there = this.#book.cards.some((card) => card.visits.some(({ id }) => id === told.visit.id));
    if (!there) await this.#cards.keep(told.visit, { card_id: this.#card.value, card: { name: tr("A friend's machine") }, at_hand: false });
    this.#filed = true; // what is said stays, as long as it is looked at
    this.#drop();
    this.#said(there ? tr("It is on a card already.") : tr("It is on the card."));
    $("friend-file").hidden = $("friend-drop").hidden = true;
    $("friend-filed").hidden = false;
  }
  #close() {
    this.#drop();
    this.#dialog.close();
  }
  #drop() {
    history.replaceState(null, "", location.pathname + location.search);
    this.#press("act-link-filed");
  }
  /** @param {string} text */
  #said(text) {
    $("friend-said").textContent = text;
  }
}
