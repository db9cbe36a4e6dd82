// The dialogs: a number to type (a real input, for a phone's keyboard), and the pages to be read.
import { $ } from "./dom.js";
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

export class HelpDialog {
  #dialog = $("help");

  constructor() {
    $("help-close").addEventListener("click", () => this.#dialog.close());
    document.addEventListener("click", (event) => {
      const section = event.target.closest?.("[data-help]")?.dataset.help;
      if (section) this.show(section);
      if (event.target.closest?.("[data-close]")) event.target.closest("dialog").close();
      if (event.target.matches?.("dialog.panel") && event.detail > 0) event.target.close(); // the backdrop
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
    const panel = document.querySelector(`dialog.panel#${section}`);
    if (panel) {
      for (const open of document.querySelectorAll("dialog[open]")) if (open !== panel) open.close();
      if (!panel.open) panel.showModal();
      return;
    }
    if (!this.#dialog.open) this.#dialog.showModal();
    const chosen = $(`help-${section}`) ?? $("help-use");
    chosen.scrollIntoView({ block: "start" });
  }
}
