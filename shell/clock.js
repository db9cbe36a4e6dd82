// Clock: the dialog in which this device's clock is checked. What it says is the program's.
import { number_of } from "./dialogs.js";
import { tr } from "./words.js";

export function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

export class ClockDialog {
  #press;
  #change;
  #dialog = document.getElementById("clock");
  #form = document.getElementById("clock-form");
  #said = document.getElementById("clock-said");
  #kept;
  #stage = "";
  #anew = false;  // the form is wanted, whatever came out before

  // prime() is called within the tap that begins a check.
  constructor({ press, change, prime }) {
    this.#press = press;
    this.#change = change;
    this.#form.addEventListener("submit", (event) => {
      event.preventDefault(); // the page sends no forms
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
    document.getElementById("clock-keep").addEventListener("click", () => change("keep-clock", today()));
    document.getElementById("clock-again").addEventListener("click", () => {
      this.#anew = true;
      press("act-close-clock");
      document.getElementById("clock-hz").focus();
    });
  }

  show({ stage, said, progress, kept }) {
    if (stage === "listening" && !this.#dialog.open) this.#dialog.showModal();
    const ended = (stage === "found" || stage === "kept") && !this.#anew;
    const listening = stage === "listening";
    this.#form.hidden = listening || ended;
    this.#hide("clock-start", listening || ended);
    this.#hide("clock-again", !ended);
    this.#hide("clock-keep", stage !== "found");
    const closing = listening ? tr("Stop") : stage === "found" ? tr("Discard") : tr("Close");
    const close = document.getElementById("clock-close");
    if (close.textContent !== closing) close.textContent = closing;
    if (this.#said.textContent !== said) this.#said.textContent = said;
    const bar = document.getElementById("clock-progress");
    bar.hidden = progress === null;
    if (progress !== null) bar.value = progress;
    if (stage !== this.#stage && ended) this.#said.scrollIntoView({ block: "nearest" });
    this.#stage = stage;
    this.#show_kept(kept);
  }

  #hide(id, hidden) {
    document.getElementById(id).hidden = hidden;
  }
  #values() {
    const fault = document.getElementById("clock-fault");
    fault.textContent = "";
    const values = [];
    for (const input of this.#form.querySelectorAll("input")) {
      const { lowest, highest, unit } = input.dataset;
      const value = number_of(input.value);
      if (value === undefined || value < Number(lowest) || value > Number(highest)) {
        fault.textContent = tr("{0}: please type a number from {1} to {2} {3}.", input.labels[0].textContent, lowest, highest, unit);
        input.focus();
        return undefined;
      }
      values.push(value);
    }
    return values;
  }
  #show_kept(kept) {
    const json = JSON.stringify(kept);
    if (json === this.#kept) return;
    this.#kept = json;
    this.#hide("clock-list", kept.length === 0);
    document.getElementById("clock-kept").replaceChildren(...kept.map((text, index) => {
      const forget = document.createElement("button");
      Object.assign(forget, { type: "button", textContent: tr("Forget"), ariaLabel: tr("Forget {0}", text) });
      forget.addEventListener("click", () => this.#change("forget-clock", String(index)));
      const item = document.createElement("li");
      item.append(text, forget);
      return item;
    }));
  }
}
