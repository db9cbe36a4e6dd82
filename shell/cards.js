// Cards: the dialog with a card for each machine: what is known of it, its visits, and the ways in and out. What a visit
// means is told by the records (web/doors/records).
/** @import {CardBook, Removed, Where} from "./card_book.js" */
/** @import {Field} from "./dom.js" */
/** @import {Card, CardFields, Change, NewVisit, Phase, State, VisitStage, VisitWords} from "./types" */
import { kDemoId } from "./card_book.js";
import { dated, today } from "./dates.js";
import { $, $details, $dialog, $input, $select, element, fields, one_at_a_time, set_text, when_opened } from "./dom.js";
import { held } from "./held.js";
import { ask_for_number, is_within, number_of } from "./numbers.js";
import { save_file } from "./save_file.js";
import { number_text, tr } from "./words.js";

/** @type {[lowest: number, highest: number]} */
const kTolerances_percent = [0.05, 10]; // as web/model has it
const kJudged = { within: "\u2713", outside: "\u2717", cannot_be_told: "?", not_measured: "\u2013" };

export class CardsDialog {
  #book;
  #change;
  #dialog = $dialog("cards");
  #choice = $select("cards-choice");
  #shown_id = "";  // the card that is looked at; the demo's may be, without being the machine at hand
  /** @type {(Removed & {card_id: string, at_hand: string}) | undefined} */
  #undo;
  /** @type {{parts?: string, tolerance_percent?: number, clockwise?: string}} */
  #known = {};  // what the program had last of the machine at hand
  /** @type {Phase | ""} */
  #phase = "";

  /** @param {CardBook} book @param {{change: Change}} page */
  constructor(book, { change }) {
    this.#book = book;
    this.#change = change;
    this.#choice.addEventListener("change", () => this.#open_card(this.#choice.value));
    for (const field of this.#fields()) field.addEventListener("change", () => this.#edited(field));
    const acts = {
      "cards-new": one_at_a_time(() => this.#new_card()),
      "cards-remove": () => this.#removed(async () => ({ card: await this.#book.remove_card(this.#shown_id) })),
      "cards-undo": one_at_a_time(() => this.#take_back()),
      "cards-save": () => save_file(`four76-cards-${today()}.json`, "application/json", this.#book.text()),
      "cards-csv": () => save_file(`four76-readings-${today()}.csv`, "text/csv", this.#book.csv()),
      "cards-open": () => $("cards-input").click(),
      "cards-aside-save": () => save_file(`four76-set-aside-${today()}.json`, "application/json", this.#book.aside_text()),
      "cards-aside-forget": () => this.#book.forget_aside().then(() => this.render()),
    };
    for (const [id, act] of Object.entries(acts)) $(id).addEventListener("click", act);
    $("cards-input").addEventListener("change", () => this.#import());
    when_opened(this.#dialog, () => this.#book.load().then(() => this.render()), () => this.#say("")); // another page may have added to it
  }

  // Once, when the records can be asked.
  async start() {
    await this.#book.start();
    this.tell_program();
    this.render();
  }
  get shown_id() {
    return this.#shown_id;
  }

  // A visit that was measured, or came some other way. Answers with its card's id.
  /** @param {NewVisit} visit @param {Where} where */
  async keep(visit, where = {}) {
    await this.#book.ready;
    // A tape that is known goes by its name.
    const by_tone = visit.source === "tone" || visit.source === "meter";
    const tape = this.#book.tapes.find(({ true_hz = NaN }) => by_tone && Math.abs(true_hz / (visit.nominal_hz ?? NaN) - 1) < 1e-8);
    this.#shown_id = await this.#book.add_visit(tape ? { ...visit, tape: tape.name } : visit, where);
    this.render();
    return this.#shown_id;
  }

  // What the program learned of the machine at hand goes onto its card.
  /** @param {State} state */
  show({ causes_panel, controls, coach, phase, of_demo }) {
    const shown = of_demo ? "demo" : phase;
    if (shown !== this.#phase) {
      const leaves_demo = this.#phase === "demo" && this.#shown_id === kDemoId;
      this.#phase = shown;
      this.#show_at_hand();
      if (leaves_demo) {
        this.#shown_id = this.#book.chosen_id;
        this.render();
      }
    }
    if (of_demo) return;
    const now = { parts: causes_panel.parts, tolerance_percent: Number(controls.tolerance.value), clockwise: coach.clockwise };
    const before = this.#known;
    this.#known = now;
    const card = this.#book.chosen;
    if (!card || before.parts === undefined) return;
    /** @type {CardFields} */
    const changed = {};
    if (now.parts !== before.parts) changed.parts = now.parts;
    if (now.tolerance_percent !== before.tolerance_percent) changed.tolerance_percent = now.tolerance_percent;
    if (now.clockwise !== before.clockwise && now.clockwise !== "") changed.clockwise_is_faster = now.clockwise === "faster";
    const names = /** @type {(keyof CardFields)[]} */ (Object.keys(changed));
    const differs = names.some((name) => (card[name] ?? "") !== changed[name]);
    if (differs) this.#book.change_card(card.id, changed).then(() => this.render());
  }

  // The machine at hand: the program measures with what its card knows.
  tell_program() {
    const card = this.#book.chosen;
    if (!card) return;
    this.#change("machine", card.name ?? "");
    this.#change("parts", card.parts ?? "");
    if (card.tolerance_percent) this.#change("tolerance", String(card.tolerance_percent));
    this.#change("clockwise", card.clockwise_is_faster === undefined ? "" : card.clockwise_is_faster ? "faster" : "slower");
  }

  // After something was removed or came with a file, another machine may be at hand, or more be known of it.
  #known_at_hand() {
    const { id, name, parts, tolerance_percent, clockwise_is_faster } = this.#book.chosen ?? {};
    return JSON.stringify([id, name, parts, tolerance_percent, clockwise_is_faster]);
  }
  /** @param {string} before */
  #tell_if_other(before) {
    if (this.#known_at_hand() !== before) this.tell_program();
  }

  render() {
    const { cards, aside } = this.#book;
    if (!cards.some(({ id }) => id === this.#shown_id)) this.#shown_id = this.#book.chosen_id || (cards[0]?.id ?? "");
    const card = cards.find(({ id }) => id === this.#shown_id);
    this.#show_at_hand();
    this.#choice.replaceChildren(...cards.map(({ id, name }) => new Option(name || tr("A machine without a name"), id, false, id === this.#shown_id)));
    for (const id of ["cards-card", "cards-remove", "cards-report", "cards-save", "cards-csv", "cards-choice"]) $(id).hidden = !card;
    $("cards-none").hidden = Boolean(card);
    if (this.#book.fault) this.#say(this.#book.fault);
    if (card) this.#show_card(card);
    $("cards-aside").hidden = aside.length === 0;
    $("cards-aside-list").replaceChildren(...aside.map(({ what, why, time }) => element("li", { textContent: dated(`${what}, ${time}: ${why}`) })));
  }

  // As it was found last, and left.
  /** @param {Card | undefined} card */
  #held_of(card) {
    const told = card && this.#book.words_of(card.id), visits = card?.visits ?? [];
    const at = (/** @type {VisitStage} */ stage) => visits.findLastIndex((visit) => visit.stage === stage);
    const short = (/** @type {number} */ i) => told?.visits.find(({ id }) => id === visits[i]?.id)?.short || "\u2013";
    const found = at("as_found"), left = at("as_left");
    return { visited: found >= 0 || left >= 0, found: short(found), left: left > found ? short(left) : "\u2013" }; // an older one belongs to another day
  }
  // Above the instrument: the machine at hand, and what was found and left.
  #show_at_hand() {
    const demo = this.#phase === "demo";
    const card = demo ? this.#book.cards.find(({ id }) => id === kDemoId) : this.#book.chosen;
    const name = demo ? tr("The demo's machine") : card ? card.name || tr("A machine without a name") : tr("not named yet");
    set_text($("machine-name"), name);
    const { visited, found, left } = this.#held_of(card);
    set_text($("machine-what"), visited ? held(`${found.replace(" %", "")} \u2192 ${left}`) : tr("Machine"));
    $("open-machine").title = visited ? tr("found {0}, left {1}", found, left) : "";
    if ($("welcome-listen").dataset.act === "act-listen") set_text($("welcome-listen"), card && !demo && card.visits.length > 0 ? tr("Continue with {0}", name) : tr("Listen to a tape"));
  }

  #fields() {
    return fields($("cards-card"), "[data-card]");
  }
  /** @param {Card} card */
  #show_card(card) {
    for (const field of this.#fields()) {
      if (field === document.activeElement) continue;
      const value = card[/** @type {keyof CardFields} */ (field.dataset.card)];
      field.value = value === undefined ? "" : typeof value === "number" ? number_text(value) : String(value);
    }
    const told = this.#book.words_of(card.id), { visited, found, left } = this.#held_of(card);
    if (!told) return;
    $("cards-held").textContent = visited ? held(tr("found {0}, left {1}", found, left)) : "";
    $("cards-since").textContent = held(told.since);
    $("cards-caution").hidden = told.since === "";
    const newest_first = [...told.visits].reverse();
    $("cards-visits").replaceChildren(...newest_first.map((visit, i) => this.#visit(card.id, visit, i === 0)));
    $("cards-no-visits").hidden = newest_first.length > 0;
  }
  /** @param {string} card_id @param {VisitWords} words @param {boolean} open */
  #visit(card_id, { id, heading, speed, verdict, judged, rows }, open) {
    const remove = element("button", { type: "button", textContent: tr("Remove this visit") });
    remove.addEventListener("click", () => this.#removed(() => this.#book.remove_visit(card_id, id)));
    const list = element("dl", {}, ...rows.flatMap(([label, text]) => [element("dt", { textContent: label }), element("dd", { textContent: held(text) })]));
    const summary = element("summary", {}, element("span", { className: "judged", textContent: kJudged[judged], title: verdict }),
      ` ${dated(heading)}: `, element("strong", { textContent: held(speed || verdict) }), ` ${held(verdict)}`);
    const made = element("details", { open }, summary, list, remove);
    made.dataset.judged = judged;
    return made;
  }

  /** @param {string} id */
  async #open_card(id) {
    this.#shown_id = id;
    if (id !== kDemoId) this.#book.choose(id);
    this.render();
    if (id !== kDemoId) this.tell_program();
  }
  async #new_card() {
    const id = await this.#book.add_card({ name: "", tolerance_percent: this.#known.tolerance_percent });
    await this.#open_card(id);
    $details("cards-machine").open = true;
    $("card-name").focus();
  }
  /** @param {Field} field */
  async #edited(field) {
    const name = /** @type {keyof CardFields} */ (field.dataset.card), text = field.value.trim();
    const card = this.#book.cards.find(({ id }) => id === this.#shown_id);
    if (!card) return; // another page has removed it
    /** @type {CardFields[keyof CardFields]} */
    let value = text === "" ? undefined : text;
    if (name === "clockwise_is_faster" && value !== undefined) value = text === "true";
    if (name === "tolerance_percent") {
      const percent = number_of(text);
      if (!is_within(percent, ...kTolerances_percent)) {
        this.#say(ask_for_number(...kTolerances_percent, "%"));
        field.value = number_text(card.tolerance_percent ?? "");
        return;
      }
      value = percent;
    }
    this.#say("");
    await this.#book.change_card(card.id, { [name]: value });
    this.render();
    if (card.id === this.#book.chosen_id) this.tell_program();
  }

  #removed = one_at_a_time(async (/** @type {() => Promise<Removed>} */ remove) => {
    const card_id = this.#shown_id, at_hand = this.#book.chosen_id, known = this.#known_at_hand();
    const removed = await remove();
    this.#undo = { card_id, at_hand, ...removed };
    this.#tell_if_other(known);
    this.render();
    const { card } = removed;
    this.#say(card ? tr("{0} was removed.", card.name || tr("The card")) : tr("The visit was removed."), true);
    $("cards-undo").focus(); // what was pressed is gone
  });
  async #take_back() {
    if (!this.#undo) return;
    const { card_id, at_hand, ...removed } = this.#undo, known = this.#known_at_hand();
    await this.#book.restore(card_id, removed);
    if (removed.card && card_id === at_hand) this.#book.choose(card_id);
    this.#tell_if_other(known);
    this.#shown_id = card_id;
    this.render();
    this.#say("");
    this.#choice.focus(); // as what was pressed is hidden
  }
  async #import() {
    const input = $input("cards-input"), [file] = input.files ?? [];
    input.value = "";
    if (!file) return;
    const known = this.#known_at_hand();
    this.#say(await this.#book.import_file(file));
    this.#tell_if_other(known);
    this.render();
  }
  /** @param {string} text */
  #say(text, can_undo = false) {
    $("cards-said").textContent = dated(text);
    $("cards-undo").hidden = !can_undo;
    if (!can_undo) this.#undo = undefined;
  }
}
