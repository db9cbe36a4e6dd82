// Measure: the dialog in which a place of the tape is measured for a while. What it says is the program's.
export class MeasureDialog {
  #place = document.getElementById("measure-end");
  #seconds = document.getElementById("measure-seconds");
  #said = document.getElementById("measure-said");
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
    const button = document.getElementById("act-measure");
    button.textContent = act;
    button.classList.toggle("main", !runs);
    document.getElementById("measure-idle").hidden = usable;
    if (this.#said.textContent !== said) this.#said.textContent = said;
    const bar = document.getElementById("measure-progress");
    bar.hidden = !runs;
    if (runs) bar.value = progress;
    document.getElementById("measure-list").hidden = kept.length === 0;
    document.getElementById("measure-difference").textContent = difference;
    document.getElementById("measure-kept").replaceChildren(...kept.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
  }
}
