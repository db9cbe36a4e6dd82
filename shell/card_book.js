// CardBook: which machine is at hand, what is kept of it, and the ways in and out. It knows no dialog.
/** @import {CardStore} from "./card_store.js" */
/** @import {Aside, Ask, Broken, Card, CardFields, CardWords, CardsFile, CardsState, CardsTold} from "./types" */
/** @import {KnownTape, NewVisit, ReportTold, SetAside, Visit} from "./types" */
import { now_text } from "./dates.js";
import { keep, kept } from "./settings_store.js";
import { tr } from "./words.js";

const kSchema = "four76.cards/1";
const kLargestFile = 32 * 2 ** 20; // as core/records/card
export const kDemoId = "demo";
const kFirstName = tr("My machine"), kDemoName = tr("The demo's machine");
const kStoreOf = /** @type {const} */ ({ card: "cards", tape: "tapes" });

/** @typedef {{card?: Card, visit?: Visit, at?: number}} Removed */
/** @typedef {{demo?: boolean, card_id?: string, card?: CardFields, at_hand?: boolean}} Where */
/** @typedef {{id?: unknown, visits?: unknown[]}} Whatever of a card, while it is broken */

// Unlike any other, on any device.
export function new_id() {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// What was set aside, by the records in which it stands.
/** @param {SetAside[]} set_aside @param {{cards: Card[], tapes: KnownTape[]}} kept */
function broken_of(set_aside, kept) {
  /** @type {Map<Card | KnownTape, Broken>} */
  const all = new Map();
  for (const { what, why, kind, index, visit } of set_aside) {
    if (kind === undefined || index === undefined) continue; // a sound one
    const store = kStoreOf[kind], record = kept[store][index];
    const broken = all.get(record) ?? { store, record, visits: [] };
    broken.visits.push({ what, why, time: now_text(), kind, visit });
    all.set(record, broken);
  }
  return [...all.values()];
}

export class CardBook {
  #store;
  #ask;
  #tell;
  /** @type {Card[]} */
  cards = [];    // as they are kept
  /** @type {KnownTape[]} */
  tapes = [];
  /** @type {CardWords[]} */
  words = [];    // of each, from the records
  /** @type {Aside[]} */
  aside = [];
  fault = "";    // why nothing of what is kept can be read; empty where it can
  chosen_id = kept("card") ?? "";

  #started = () => {};
  /** @type {Promise<void>} */
  ready = new Promise((resolve) => (this.#started = resolve));

  /** @param {CardStore} store @param {{ask: Ask, tell: (state: CardsState) => void}} page */
  constructor(store, { ask, tell }) {
    this.#store = store;
    this.#ask = ask;
    this.#tell = tell;
  }

  // Once; `ready` holds what was kept before.
  start() {
    this.load().then(this.#started, this.#started);
    return this.ready;
  }
  get chosen() {
    return this.cards.find((card) => card.id === this.chosen_id);
  }
  /** @param {string} id */
  words_of(id) {
    return this.words.find((card) => card.id === id);
  }
  /** @param {string} id */
  choose(id) {
    this.chosen_id = id;
    keep("card", id);
  }

  // Reads everything anew. What is broken is set aside, and the rest goes on.
  async load() {
    const cards = await this.#store.all("cards"), tapes = await this.#store.all("tapes");
    const told = this.#told("read", this.#text(cards, tapes));
    this.fault = told.fault;
    if (told.fault) return; // all stays where it is
    if (told.set_aside.length > 0) {
      await this.#store.set_aside(broken_of(told.set_aside, { cards, tapes }));
      this.#tell("set-aside");
    }
    this.cards = told.file.cards;
    this.tapes = told.file.tapes;
    this.words = told.cards;
    this.aside = await this.#store.all("aside");
    if (!this.chosen) this.choose(this.cards.find((card) => card.id !== kDemoId)?.id ?? "");
  }

  // A card is made at the first visit, or when the person asks for one.
  /** @param {CardFields & {id?: string}} fields */
  async add_card(fields = {}, at_hand = true) {
    /** @type {Card} */
    const card = { id: new_id(), name: kFirstName, ...fields, changed_ms: Date.now(), visits: [] };
    await this.#store.change("cards", card.id, (there) => there ?? card);
    if (at_hand && card.id !== kDemoId) this.choose(card.id);
    await this.load();
    return card.id;
  }
  /** @param {string} id @param {CardFields} fields */
  async change_card(id, fields) {
    await this.#store.change("cards", id, (card) => card && { ...card, ...fields, changed_ms: Date.now() });
    await this.load();
  }
  /** @param {string} id */
  async remove_card(id) {
    const card = this.cards.find((each) => each.id === id);
    await this.#store.remove("cards", id);
    await this.load();
    return card;
  }
  /** @param {NewVisit} visit @param {Where} where */
  async add_visit(visit, { demo = false, card_id = this.chosen_id, card = {}, at_hand = true } = {}) {
    let id = demo ? kDemoId : card_id;
    if (!this.cards.some((each) => each.id === id)) id = await this.add_card(demo ? { id: kDemoId, name: kDemoName } : card, at_hand);
    const whole = { ...visit, id: visit.id ?? new_id(), time: visit.time ?? now_text(), changed_ms: Date.now() };
    await this.#store.change("cards", id, (there) => there && { ...there, visits: [...(there.visits ?? []), whole] });
    await this.load();
    return id;
  }
  // Answers with the visit, and where among the others it stood.
  /** @param {string} card_id @param {string} visit_id @returns {Promise<Removed>} */
  async remove_visit(card_id, visit_id) {
    /** @type {Visit | undefined} */
    let visit;
    let at = -1;
    await this.#store.change("cards", card_id, (card) => {
      at = card?.visits?.findIndex(({ id }) => id === visit_id) ?? -1;
      if (!card || at < 0) return undefined; // another page has removed it
      visit = card.visits[at];
      return { ...card, visits: card.visits.filter((each) => each !== visit) };
    });
    await this.load();
    return { visit, at };
  }
  // What was removed comes back to where it was.
  /** @param {string} card_id @param {Removed} removed */
  async restore(card_id, { card, visit, at }) {
    if (card) await this.#store.put_all("cards", [card]);
    else if (visit) await this.#store.change("cards", card_id, (there) => {
      const visits = there?.visits ?? [];
      if (visits.some(({ id }) => id === visit.id)) return undefined; // another page has brought it back
      return there && { ...there, visits: [...visits.slice(0, at), visit, ...visits.slice(at)] };
    });
    await this.load();
  }

  /** @param {KnownTape} tape */
  async put_tape(tape) {
    await this.#store.put_all("tapes", [tape]);
    await this.load();
  }
  /** @param {string} id */
  async remove_tape(id) {
    await this.#store.remove("tapes", id);
    await this.load();
  }

  text() {
    return this.#text(this.cards, this.tapes);
  }
  csv() {
    return this.#ask("csv", this.text());
  }
  /** @param {string} id @param {string} name @returns {ReportTold} */
  report(id, name) {
    return JSON.parse(this.#ask("report", this.text(), id, name));
  }
  // Says what came of it, or why nothing did.
  /** @param {File} file */
  async import_file(file) {
    const refused = (/** @type {string} */ why) => `${why} ${tr("Nothing was changed.")}`;
    if (file.size > kLargestFile) return refused(tr("The file is too large to be a file of this page."));
    const text = await file.text().catch(() => undefined);
    if (text === undefined) return refused(tr("The file cannot be read."));
    await this.load(); // another page may have added to it: what is merged is kept whole
    if (this.fault) return refused(this.fault);
    const told = this.#told("merge", this.text(), text);
    if (told.fault) return refused(told.fault);
    await this.#keep_all(told.file);
    await this.load();
    const aside = told.set_aside.map(({ what, why }) => `${what}: ${why}`);
    return aside.length === 0 ? told.said : `${told.said} ${tr("Left out: {0}.", aside.join("; "))}`;
  }
  // A cards file again: once mended, or read by a page that knows more, each record finds its place by itself. What older
  // pages set aside without its kind stands under "set_aside" alone.
  aside_text() {
    /** @type {{schema: string, tapes: unknown[], cards: Whatever[], set_aside: unknown[]}} */
    const file = { schema: kSchema, tapes: [], cards: [], set_aside: [] };
    for (const { record, kind, card, ...told } of this.aside) {
      const there = card && file.cards.find(({ id, visits }) => id === card.id && Array.isArray(visits));
      if (there) there.visits = [...(there.visits ?? []), record];
      else if (card) file.cards.push({ ...card, visits: [record] });
      else if (kind) file[kStoreOf[kind]].push({ .../** @type {Whatever} */ (record) });
      file.set_aside.push(kind ? told : { ...told, record });
    }
    return JSON.stringify(file, undefined, 1);
  }
  async forget_aside() {
    await this.#store.forget_aside();
    await this.load();
    this.#tell("kept");
  }

  /** @param {"read" | "merge"} what @param {string[]} texts @returns {CardsTold} */
  #told(what, ...texts) {
    return JSON.parse(this.#ask(what, ...texts));
  }
  /** @param {Card[]} cards @param {KnownTape[]} tapes */
  #text(cards, tapes) {
    return JSON.stringify({ schema: kSchema, tapes, cards });
  }
  /** @param {CardsFile} file */
  async #keep_all({ cards, tapes }) {
    await this.#store.put_all("cards", cards);
    await this.#store.put_all("tapes", tapes);
  }
}
