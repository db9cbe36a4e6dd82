// Causes: the panel that says what wow and flutter come from and what to do, and the form in which the machine's parts
// are entered. All words but the labels are the program's.
/** @import {Causes, Change} from "./types" */
import { $, $dialog, $form, element, fields, once_each, set_text } from "./dom.js";
import { held } from "./held.js";

const item = (/** @type {string} */ text) => element("li", { textContent: held(text) });

// The side's place is entered in percent, and kept as a share.
const kPercent = new Set(["side_played"]);

export class CausesPanel {
  #dialog = $dialog("parts");
  #form = $form("parts-form");
  #fault = $("parts-fault");
  #change;
  #show_panel;
  #shown = "";
  #once = once_each();
  #known = "";
  #told = { parts_entered: 0, parts_fault: "" };
  #waits = false; // for what the program says of an entry

  /** @param {{change: Change, show: (section: string) => void}} page */
  constructor({ change, show }) {
    this.#change = change;
    this.#show_panel = show;
    this.#form.addEventListener("submit", () => {
      this.#waits = true;
      this.#change("parts", this.#entered());
    });
    this.#dialog.addEventListener("close", () => {
      this.#fill(this.#known);
      if (this.#told.parts_fault !== "") this.#change("parts", this.#known); // nothing is wrong with that
    });
    $("parts-clear").addEventListener("click", () => {
      for (const field of this.#fields()) field.value = "";
      this.#change("parts", "");
    });
  }

  /** @param {Causes} told */
  show(told) {
    const json = JSON.stringify(told);
    if (json === this.#shown) return;
    this.#shown = json;
    const { verdicts, causes, nothing, work, standards, rates, parts, parts_fault, parts_entered } = told;
    this.#renew("causes-verdicts", verdicts, ({ text, rests_on, warns }) =>
      element("p", { className: warns ? "verdict warns" : "verdict" }, element("strong", { textContent: held(text) }), ` ${held(rests_on)}`));
    this.#renew("causes-list", causes, ({ cause, title, evidence, fault }) => {
      const entry = element("li", {}, element("strong", { textContent: held(title) }), ` ${held(evidence)}`);
      entry.dataset.cause = cause;
      entry.dataset.fault = String(fault);
      return entry;
    });
    $("causes-nothing").textContent = nothing;
    this.#part("causes-work", work);
    this.#part("causes-standards", standards);
    this.#part("causes-rates", rates);
    const answered = this.#waits && parts_entered !== this.#told.parts_entered;
    this.#told = { parts_entered, parts_fault };
    set_text(this.#fault, parts_fault);
    if (parts !== this.#known) this.#fill(parts);
    if (answered) this.#answer(causes.length > 0);
  }

  // Taken: what comes of it is shown where there is anything. Refused: the form stays, for mending.
  /** @param {boolean} any_causes */
  #answer(any_causes) {
    this.#waits = false;
    if (this.#told.parts_fault !== "" || !this.#dialog.open) return;
    this.#dialog.close();
    if (any_causes) this.#show_panel("causes");
  }

  /** @template Part @param {string} id @param {Part[]} list @param {(part: Part) => HTMLElement} make */
  #renew(id, list, make) {
    this.#once(id, list, () => $(id).replaceChildren(...list.map(make)));
  }
  /** @param {string} id @param {string[]} texts */
  #part(id, texts) {
    this.#renew(id, texts, item);
    $(`${id}-part`).hidden = texts.length === 0;
  }

  #fields() {
    return fields(this.#form, "[data-part]");
  }
  /** @param {string} parts */
  #fill(parts) {
    this.#known = parts;
    const values = Object.fromEntries(parts.split(";").filter(Boolean).map((pair) => pair.split("=")));
    for (const field of this.#fields()) {
      const { part = "" } = field.dataset, value = values[part] ?? "";
      field.value = value !== "" && kPercent.has(part) ? String(Number((100 * Number(value)).toFixed(6))) : value;
    }
  }
  #entered() {
    const pairs = [];
    for (const field of this.#fields()) {
      const { part = "" } = field.dataset, typed = field.value.trim().replace(",", ".");
      if (typed === "") continue;
      const value = kPercent.has(part) && Number.isFinite(Number(typed)) ? String(Number(typed) / 100) : typed;
      pairs.push(`${part}=${value}`);
    }
    return pairs.join(";");
  }
}
