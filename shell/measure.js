// Measure: the dialog in which half a minute is measured at either end of the tape. What it says is the program's.
export class MeasureDialog {
  #end = document.getElementById("measure-end");
  #said = document.getElementById("measure-said");
  #shown = "";

  constructor({ change }) {
    this.#end.addEventListener("change", () => change("tape-end", this.#end.value));
  }

  show({ end, progress, said, kept, difference }, usable) {
    const json = JSON.stringify([end, progress, said, kept, difference, usable]);
    if (json === this.#shown) return;
    this.#shown = json;
    const runs = progress !== null;
    this.#end.value = end;
    this.#end.disabled = runs;
    const act = document.getElementById("act-measure");
    act.textContent = runs ? "Break off" : "Measure 30 s";
    act.classList.toggle("main", !runs);
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
