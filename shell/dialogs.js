// The dialogs: a number to type (a real input, for a phone's keyboard), and the pages to be read.
/** @import {Page} from "./types" */
import { $, $dialog, $input, all, find, hit, when_opened } from "./dom.js";
import { ask_for_number, is_within, number_of } from "./numbers.js";
import { text_size } from "./text_size.js";
import { number_text, tr } from "./words.js";

export class NumberDialog {
  #answer;
  #dialog = $dialog("ask");
  #input = $input("ask-value");
  #fault = $("ask-fault");
  #question = { name: "", unit: "", lowest: 0, highest: 0 };

  /** @param {(question: string, value?: number) => void} answer */
  constructor(answer) {
    this.#answer = answer;
    this.#dialog.addEventListener("submit", () => this.#submit());
    $("ask-cancel").addEventListener("click", () => this.#close(undefined));
    this.#dialog.addEventListener("cancel", (event) => {
      event.preventDefault();
      this.#close(undefined);
    });
  }

  /** @type {Page["askNumber"]} */
  ask(question, label, unit, value, lowest, highest) {
    this.#question = { name: question, unit, lowest, highest };
    $("ask-label").textContent = tr("{0}, {1} to {2} {3}", label, number_text(lowest), number_text(highest), unit);
    $("ask-unit").textContent = unit;
    this.#fault.textContent = "";
    this.#input.value = number_text(value);
    if (!this.#dialog.open) this.#dialog.showModal();
    this.#input.focus();
    this.#input.select();
  }

  #submit() {
    const { unit, lowest, highest } = this.#question;
    const value = number_of(this.#input.value);
    if (!is_within(value, lowest, highest)) {
      this.#fault.textContent = ask_for_number(lowest, highest, unit);
      this.#input.focus();
      return;
    }
    this.#close(value);
  }
  /** @param {number} [value] */
  #close(value) {
    if (!this.#dialog.open) return;
    this.#dialog.close();
    this.#answer(this.#question.name, value);
  }
}

// Places: each page that is opened over the instrument has an address of its own, so that the browser's Back closes it,
// and a link leads to it. Settings and friends' links stand in the address as well; they are the program's.
const kPlaces = "dialog.panel:not(#friend), #help"; // a friend's address is the link itself
/** @param {string} hash */
const place_of = (hash) => {
  const panel = /^#[a-z-]+$/.test(hash) ? find(hash.slice(1)) : null;
  return panel instanceof HTMLDialogElement && panel.matches(kPlaces) ? panel : undefined;
};
/** @param {string} hash */
export const leads_to_a_place = (hash) => place_of(hash) !== undefined;
/** @param {string} selector */
const dialogs = (selector) => all(document, selector, HTMLDialogElement);

class Places {
  #base = "";  // the address without a place

  /** @param {(section: string) => void} show */
  constructor(show) {
    for (const panel of dialogs(kPlaces)) when_opened(panel, () => this.#opened(panel), () => this.#closed(panel));
    addEventListener("popstate", () => {
      const panel = place_of(location.hash);
      if (panel) this.#base = history.state?.base ?? this.#base;
      if (!panel && location.hash !== this.#base) return; // a link's settings came, and nobody went back
      for (const open of dialogs(`:is(${kPlaces}):modal`)) if (open !== panel) open.close();
      if (panel && !panel.open) show(panel.id);
    });
  }
  // A link that leads to a place: Back stays on the page.
  /** @param {(section: string) => void} show */
  start(show) {
    const panel = place_of(location.hash);
    if (!panel) return;
    this.#base = history.state?.base ?? "";
    history.replaceState(null, "", location.pathname + location.search + this.#base);
    show(panel.id);
  }
  /** @param {HTMLDialogElement} panel */
  #opened(panel) {
    if (!panel.matches(":modal") || place_of(location.hash) === panel) return;
    const from_place = place_of(location.hash) !== undefined;
    if (!from_place) this.#base = location.hash;
    const replaces = from_place || history.state?.menu; // the menu led here, and has closed
    history[replaces ? "replaceState" : "pushState"]({ place: panel.id, base: this.#base }, "", `#${panel.id}`);
  }
  /** @param {HTMLDialogElement} panel */
  #closed(panel) {
    if (!document.querySelector(`:is(${kPlaces}):modal`)) this.leave(panel); // else another took its place
  }
  /** @param {HTMLDialogElement} panel */
  leave(panel) {
    if (place_of(location.hash) !== panel) return;
    if (history.state?.place) history.back();
    else history.replaceState(null, "", location.pathname + location.search + this.#base);
  }
}

// Where there is room the machine's card stands beside the instrument; else it is a page like the others.

export class HelpDialog {
  #dialog = $dialog("help");
  #places = new Places((section) => this.show(section));

  start() {
    /** @type {boolean | undefined} */
    let roomy;
    const stand = () => {
      if (roomy === text_size.is_roomy) return;
      roomy = text_size.is_roomy;
      const cards = $dialog("cards");
      if (cards.matches(":modal")) {
        cards.close();
        this.#places.leave(cards);
      }
      cards.open = roomy;
    };
    text_size.when_changed(stand);
    stand();
    this.#places.start((section) => this.show(section));
  }

  constructor() {
    $("help-close").addEventListener("click", () => this.#dialog.close());
    document.addEventListener("click", (event) => {
      const section = hit(event, "[data-help]", HTMLElement)?.dataset.help;
      if (section) this.show(section);
      const dialog = hit(event, "dialog", HTMLDialogElement);
      if (hit(event, "[data-close]", HTMLElement)) dialog?.close();
      const backdrop = dialog === event.target && event.detail > 0;
      if (backdrop && dialog?.matches(".panel:modal")) dialog.close();
    });
    this.#dialog.addEventListener("click", (event) => {
      if (event.target === this.#dialog) this.#dialog.close(); // the backdrop
    });
  }

  /** @param {string} section */
  show(section) {
    if (section === "notices") {
      location.href = "notices.html";
      return;
    }
    if (section === "coach") {
      for (const open of dialogs("dialog:modal")) open.close();
      $("coach").dispatchEvent(new Event("unfold"));
      return;
    }
    const [panel] = dialogs(`dialog.panel#${section}`);
    if (panel) {
      for (const open of dialogs("dialog:modal")) if (open !== panel) open.close();
      if (!panel.open) panel.showModal();
      else if (!panel.matches(":modal")) all(panel, ":is(select, button):not([hidden])", HTMLElement)[0].focus();
      return;
    }
    if (!this.#dialog.open) this.#dialog.showModal();
    const chosen = find(`help-${section}`) ?? $("help-use");
    chosen.scrollIntoView({ block: "start" });
  }
}
