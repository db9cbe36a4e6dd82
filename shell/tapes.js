// Tapes: the dialog in which a result by a song is kept under its tape's name, and the tapes of a machine vote. What it
// says is the program's.
import { today } from "./clock.js";
import { tr } from "./words.js";

function element(tag, properties = {}, ...children) {
  const made = Object.assign(document.createElement(tag), properties);
  made.append(...children);
  return made;
}

export class TapesDialog {
  #change;
  #machine = document.getElementById("tapes-machine");
  #tape = document.getElementById("tapes-tape");
  #shown = "";

  constructor({ change }) {
    this.#change = change;
    document.getElementById("tapes-form").addEventListener("submit", (event) => {
      event.preventDefault(); // the page sends no forms
      change("keep-tape", [today(), this.#machine.value.trim(), this.#tape.value.trim()].join("\n"));
    });
    this.#machine.addEventListener("change", () => change("machine", this.#machine.value.trim()));
  }

  // Once: how far a song can be trusted.
  tell({ song_truth }) {
    document.getElementById("tapes-truth").replaceChildren(...song_truth.map((text) => element("p", { textContent: text })));
  }

  show(told) {
    const json = JSON.stringify(told);
    if (json === this.#shown) return;
    this.#shown = json;
    const { machine, rows, summary, sentence, offer, fault, can_keep } = told;
    if (document.activeElement !== this.#machine) this.#machine.value = machine;
    this.#text("tapes-offer", offer);
    this.#text("tapes-fault", fault);
    this.#text("tapes-sentence", sentence);
    this.#text("tapes-summary", summary);
    document.getElementById("tapes-keep").disabled = !can_keep;
    document.getElementById("tapes-table").hidden = rows.length === 0;
    document.getElementById("tapes-rows").replaceChildren(...rows.map((row) => this.#row(row)));
  }

  #text(id, text) {
    const place = document.getElementById(id);
    if (place.textContent !== text) place.textContent = text; // a screen reader hears of changes only
  }
  #row({ index, tape, amount, date, apart }) {
    const forget = element("button", { type: "button", textContent: tr("Forget"), ariaLabel: tr("Forget {0}", tape) });
    forget.addEventListener("click", () => this.#change("forget-tape", String(index)));
    const made = element("tr", {}, element("th", { textContent: tape, scope: "row" }),
      element("td", { className: "amount", textContent: amount }), element("td", { textContent: apart ? tr("{0}, stands apart", date) : date }, forget));
    made.dataset.apart = String(apart);
    return made;
  }
}
