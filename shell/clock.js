// Clock: the dialog in which this device's clock is checked. What it says is the program's.
/** @import {Change, Clock} from "./types" */
import { dated, today } from "./dates.js";
import { $, $dialog, $form, $progress, element, list_button, once_each, set_text } from "./dom.js";
import { ask_for_number, is_within, number_of } from "./numbers.js";
import { tr } from "./words.js";

export class ClockDialog {
  #change;
  #dialog = $dialog("clock");
  #form = $form("clock-form");
  #said = $("clock-said");
  #once = once_each();
  /** @type {Clock["stage"]} */
  #stage = "";
  #anew = false;  // the form is wanted, whatever came out before

  // prime() is called within the tap that begins a check.
  /** @param {{press: (act: string) => void, change: Change, prime: () => void}} page */
  constructor({ press, change, prime }) {
    this.#change = change;
    this.#form.addEventListener("submit", () => {
      const values = this.#values();
      if (!values) return;
      this.#anew = false;
      prime();
      change("check-clock", values.join(";"));
    });
    this.#dialog.addEventListener("close", () => {
      this.#anew = false;
      press("act-close-clock");
    });
    $("clock-keep").addEventListener("click", () => change("keep-clock", today()));
    $("clock-again").addEventListener("click", () => {
      this.#anew = true;
      press("act-close-clock");
      $("clock-hz").focus();
    });
  }

  /** @param {Clock} told */
  show({ stage, said, progress, kept }) {
    if (stage === "listening" && !this.#dialog.open) this.#dialog.showModal();
    const ended = (stage === "found" || stage === "kept") && !this.#anew;
    const listening = stage === "listening";
    this.#form.hidden = listening || ended;
    this.#hide("clock-start", listening || ended);
    this.#hide("clock-again", !ended);
    this.#hide("clock-keep", stage !== "found");
    const closing = listening ? tr("Stop") : stage === "found" ? tr("Discard") : tr("Close");
    set_text($("clock-close"), closing);
    set_text(this.#said, dated(said));
    const bar = $progress("clock-progress");
    bar.hidden = progress === null;
    if (progress !== null) bar.value = progress;
    if (stage !== this.#stage && ended) this.#said.scrollIntoView({ block: "nearest" });
    this.#stage = stage;
    this.#show_kept(kept);
  }

  /** @param {string} id @param {boolean} hidden */
  #hide(id, hidden) {
    $(id).hidden = hidden;
  }
  #values() {
    const fault = $("clock-fault");
    fault.textContent = "";
    const values = [];
    for (const input of this.#form.querySelectorAll("input")) {
      const { lowest = "", highest = "", unit = "" } = input.dataset;
      const value = number_of(input.value);
      if (!is_within(value, Number(lowest), Number(highest))) {
        fault.textContent = `${input.labels?.[0].textContent}: ${ask_for_number(lowest, highest, unit)}`;
        input.focus();
        return undefined;
      }
      values.push(value);
    }
    return values;
  }
  /** @param {string[]} kept */
  #show_kept(kept) {
    this.#once("kept", kept, () => {
      this.#hide("clock-list", kept.length === 0);
      $("clock-kept").replaceChildren(...kept.map(dated).map((text, index) =>
        element("li", {}, text, list_button(tr("Forget"), tr("Forget {0}", text), () => this.#change("forget-clock", String(index))))));
    });
  }
}
