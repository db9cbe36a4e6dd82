// Measure: the dialog in which a place of the tape is measured for a while. What it says is the program's.
/** @import {Change, Measure} from "./types" */
import { $, $button, $input, $progress, $select, element, set_text } from "./dom.js";

export class MeasureDialog {
  #place = $select("measure-end");
  #seconds = $input("measure-seconds");
  #said = $("measure-said");
  #shown = "";

  /** @param {{change: Change}} page */
  constructor({ change }) {
    this.#place.addEventListener("change", () => change("place", this.#place.value));
    this.#seconds.addEventListener("change", () => {
      change("visit-seconds", this.#seconds.value.trim().replace(",", "."));
      this.#shown = ""; // what was refused is set back
    });
  }

  /** @param {Measure} told @param {boolean} usable */
  show(told, usable) {
    const json = JSON.stringify([told, usable]);
    if (json === this.#shown) return;
    this.#shown = json;
    const { place, seconds, progress, act, said, kept, difference } = told;
    const runs = progress !== null;
    this.#place.value = place;
    if (document.activeElement !== this.#seconds || runs) this.#seconds.value = String(seconds);
    this.#place.disabled = this.#seconds.disabled = runs;
    const button = $button("act-measure");
    button.textContent = act;
    button.classList.toggle("main", !runs);
    $("measure-idle").hidden = usable;
    set_text(this.#said, said);
    const bar = $progress("measure-progress");
    bar.hidden = !runs;
    if (runs) bar.value = progress;
    $("measure-list").hidden = kept.length === 0;
    $("measure-difference").textContent = difference;
    $("measure-kept").replaceChildren(...kept.map((text) => element("li", { textContent: text })));
  }
}
