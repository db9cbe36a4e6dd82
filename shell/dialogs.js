// The dialogs: a number to type (a real input, for a phone's keyboard), and the pages to be read.
import { $, when_opened } from "./dom.js";
import { ask_for_number, is_within, number_of } from "./numbers.js";
import { number_text, tr } from "./words.js";

export class NumberDialog {
  #answer;
  #dialog = $("ask");
  #input = $("ask-value");
  #fault = $("ask-fault");
  #question;

  constructor(answer) {
    this.#answer = answer;
    this.#dialog.querySelector("form").addEventListener("submit", () => this.#submit());
    $("ask-cancel").addEventListener("click", () => this.#close(undefined));
    this.#dialog.addEventListener("cancel", (event) => {
      event.preventDefault();
      this.#close(undefined);
    });
  }

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
  #close(value) {
    if (!this.#dialog.open) return;
    this.#dialog.close();
    this.#answer(this.#question.name, value);
  }
}

// Places: each page that is opened over the instrument has an address of its own, so that the browser's Back closes it,
// and a link leads to it. Settings and friends' links stand in the address as well; they are the program's.
const kPlaces = "dialog.panel:not(#friend)"; // whose address is the link itself
const place_of = (hash) => {
  const panel = /^#[a-z-]+$/.test(hash) ? $(hash.slice(1)) : null;
  return panel?.matches(kPlaces) ? panel : undefined;
};
export const leads_to_a_place = (hash) => place_of(hash) !== undefined;

class Places {
  #base = "";  // the address without a place

  constructor(show) {
    for (const panel of document.querySelectorAll(kPlaces)) when_opened(panel, () => this.#opened(panel), () => this.#closed(panel));
    addEventListener("popstate", () => {
      const panel = place_of(location.hash);
      if (panel) this.#base = history.state?.base ?? this.#base;
      if (!panel && location.hash !== this.#base) return; // a link's settings came, and nobody went back
      for (const open of document.querySelectorAll(`${kPlaces}:modal`)) if (open !== panel) open.close();
      if (panel && !panel.open) show(panel.id);
    });
  }
  // A link that leads to a place: Back stays on the page.
  start(show) {
    const panel = place_of(location.hash);
    if (!panel) return;
    this.#base = history.state?.base ?? "";
    history.replaceState(null, "", location.pathname + location.search + this.#base);
    show(panel.id);
  }
  #opened(panel) {
    if (!panel.matches(":modal") || place_of(location.hash) === panel) return;
    const from_place = place_of(location.hash) !== undefined;
    if (!from_place) this.#base = location.hash;
    history[from_place ? "replaceState" : "pushState"]({ place: panel.id, base: this.#base }, "", `#${panel.id}`);
  }
  #closed(panel) {
    if (!document.querySelector(`${kPlaces}:modal`)) this.leave(panel); // else another took its place
  }
  leave(panel) {
    if (place_of(location.hash) !== panel) return;
    if (history.state?.place) history.back();
    else history.replaceState(null, "", location.pathname + location.search + this.#base);
  }
}

// Where there is room the machine's card stands beside the instrument; else it is a page like the others.
const kRoomy = matchMedia("(min-width: 1000px) and (min-height: 521px)");

export class HelpDialog {
  #dialog = $("help");
  #places = new Places((section) => this.show(section));

  start() {
    const stand = () => {
      const cards = $("cards");
      if (cards.matches(":modal")) {
        cards.close();
        this.#places.leave(cards);
      }
      cards.open = kRoomy.matches;
    };
    kRoomy.addEventListener("change", stand);
    stand();
    this.#places.start((section) => this.show(section));
  }

  constructor() {
    $("help-close").addEventListener("click", () => this.#dialog.close());
    document.addEventListener("click", (event) => {
      const section = event.target.closest?.("[data-help]")?.dataset.help;
      if (section) this.show(section);
      if (event.target.closest?.("[data-close]")) event.target.closest("dialog").close();
      if (event.target.matches?.("dialog.panel:modal") && event.detail > 0) event.target.close(); // the backdrop
    });
    this.#dialog.addEventListener("click", (event) => {
      if (event.target === this.#dialog) this.#dialog.close(); // the backdrop
    });
  }

  show(section) {
    if (section === "notices") {
      location.href = "notices.html";
      return;
    }
    if (section === "coach") {
      for (const open of document.querySelectorAll("dialog:modal")) open.close();
      $("coach").dispatchEvent(new Event("unfold"));
      return;
    }
    const panel = document.querySelector(`dialog.panel#${section}`);
    if (panel) {
      for (const open of document.querySelectorAll("dialog:modal")) if (open !== panel) open.close();
      if (!panel.open) panel.showModal();
      else if (!panel.matches(":modal")) panel.querySelector("select:not([hidden]), button:not([hidden])").focus();
      return;
    }
    if (!this.#dialog.open) this.#dialog.showModal();
    const chosen = $(`help-${section}`) ?? $("help-use");
    chosen.scrollIntoView({ block: "start" });
  }
}
