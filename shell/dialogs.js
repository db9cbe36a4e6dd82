// The dialogs: a number to type (a real input, for a phone's keyboard), and the pages to be read.
import { number_text, tr } from "./words.js";

// "3 150", "0,5" and "−2" are numbers as people type them.
export function number_of(text) {
  const plain = text.trim().replace(/[\s\u00a0\u202f]/g, "").replace(",", ".").replace("\u2212", "-");
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
}

// A number as the program reads it: JavaScript's own text of a small one, "7e-7", it does not take.
export function figures_of(number) {
  return number !== 0 && Math.abs(number) < 1e-6 ? number.toFixed(15) : String(number);
}

export class NumberDialog {
  #answer;
  #dialog = document.getElementById("ask");
  #input = document.getElementById("ask-value");
  #fault = document.getElementById("ask-fault");
  #question;

  constructor(answer) {
    this.#answer = answer;
    this.#dialog.querySelector("form").addEventListener("submit", (event) => {
      event.preventDefault(); // the page sends no forms
      this.#submit();
    });
    document.getElementById("ask-cancel").addEventListener("click", () => this.#close(undefined));
    this.#dialog.addEventListener("cancel", (event) => {
      event.preventDefault();
      this.#close(undefined);
    });
  }

  ask(question, label, unit, value, lowest, highest) {
    this.#question = { name: question, unit, lowest, highest };
    document.getElementById("ask-label").textContent = tr("{0}, {1} to {2} {3}", label, number_text(lowest), number_text(highest), unit);
    document.getElementById("ask-unit").textContent = unit;
    this.#fault.textContent = "";
    this.#input.value = number_text(value);
    if (!this.#dialog.open) this.#dialog.showModal();
    this.#input.focus();
    this.#input.select();
  }

  #submit() {
    const { unit, lowest, highest } = this.#question;
    const value = number_of(this.#input.value);
    if (value === undefined || value < lowest || value > highest) {
      this.#fault.textContent = tr("Please type a number from {0} to {1} {2}.", number_text(lowest), number_text(highest), unit);
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
  #dialog = document.getElementById("help");

  constructor() {
    document.getElementById("help-close").addEventListener("click", () => this.#dialog.close());
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
    const chosen = document.getElementById(`help-${section}`) ?? document.getElementById("help-use");
    chosen.scrollIntoView({ block: "start" });
  }
}
