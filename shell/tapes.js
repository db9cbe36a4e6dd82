// Tapes: the dialog in which a result by a song is kept under its tape's name, and the tapes of a machine vote. What it
// says is the program's.
/** @import {Change, TapeRow, Tapes, Words} from "./types" */
import { dated, today } from "./dates.js";
import { $, $button, $input, element, list_button, set_text } from "./dom.js";
import { tr } from "./words.js";

export class TapesDialog {
  #change;
  #machine = $input("tapes-machine");
  #tape = $input("tapes-tape");
  #shown = "";

  /** @param {{change: Change}} page */
  constructor({ change }) {
    this.#change = change;
    $("tapes-form").addEventListener("submit", () => {
      change("keep-tape", [today(), this.#machine.value.trim(), this.#tape.value.trim()].join("\n"));
    });
    this.#machine.addEventListener("change", () => change("machine", this.#machine.value.trim()));
  }

  // Once: how far a song can be trusted.
  /** @param {Words} words */
  tell({ song_truth }) {
    $("tapes-truth").replaceChildren(...song_truth.map((text) => element("p", { textContent: text })));
  }

  /** @param {Tapes} told */
  show(told) {
    const json = JSON.stringify(told);
    if (json === this.#shown) return;
    this.#shown = json;
    const { machine, rows, summary, sentence, offer, fault, can_keep } = told;
    if (document.activeElement !== this.#machine) this.#machine.value = machine;
    set_text($("tapes-offer"), offer);
    set_text($("tapes-fault"), fault);
    set_text($("tapes-sentence"), sentence);
    set_text($("tapes-summary"), summary);
    $button("tapes-keep").disabled = !can_keep;
    $("tapes-table").hidden = rows.length === 0;
    $("tapes-rows").replaceChildren(...rows.map((row) => this.#row(row)));
  }

  /** @param {TapeRow} row */
  #row({ index, tape, amount, date, apart }) {
    const forget = list_button(tr("Forget"), tr("Forget {0}", tape), () => this.#change("forget-tape", String(index)));
    const made = element("tr", {}, element("th", { textContent: tape, scope: "row" }),
      element("td", { className: "amount", textContent: amount }), element("td", { textContent: dated(apart ? tr("{0}, stands apart", date) : date) }, forget));
    made.dataset.apart = String(apart);
    return made;
  }
}
