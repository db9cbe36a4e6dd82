// Measure: the dialog in which a place of the tape is measured for a while. What it says is the program's.
import { $, element, set_text } from "./dom.js";

export class MeasureDialog {
  #place = $("measure-end");
  #seconds = $("measure-seconds");
  #said = $("measure-said");
  #shown = "";

  constructor({ change }) {
    this.#place.addEventListener("change", () => change("place", this.#place.value));
    this.#seconds.addEventListener("change", () => {
      change("visit-seconds", this.#seconds.value.trim().replace(",", "."));
      this.#shown = ""; // what was refused is set back
    });
  }

  show(told, usable) {
    const json = JSON.stringify([told, usable]);
    if (json === this.#shown) return;
    this.#shown = json;
    const { place, seconds, progress, act, said, kept, difference } = told;
    const runs = progress !== null;
    this.#place.value = place;
    if (document.activeElement !== this.#seconds || runs) this.#seconds.value = String(seconds);
    this.#place.disabled = this.#seconds.disabled = runs;
    const button = $("act-measure");
    button.textContent = act;
    button.classList.toggle("main", !runs);
    $("measure-idle").hidden = usable;
    set_text(this.#said, said);
    const bar = $("measure-progress");
    bar.hidden = !runs;
    if (runs) bar.value = progress;
    $("measure-list").hidden = kept.length === 0;
    $("measure-difference").textContent = difference;
    $("measure-kept").replaceChildren(...kept.map((text) => element("li", { textContent: text })));
  }
}
