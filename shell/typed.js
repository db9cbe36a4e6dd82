// Typed: the dialog in which a meter's or a watch's reading is typed; it becomes a visit like any other. What it means is
// told by the bench (web/doors/bench).
import { $, one_at_a_time } from "./dom.js";
import { held } from "./held.js";
import { number_of } from "./numbers.js";
import { tr } from "./words.js";

// "45:00", "1:02:30" or seconds.
function seconds_of(text) {
  const parts = text.trim().split(":").map(number_of);
  return parts.length > 3 || parts.includes(undefined) ? undefined : parts.reduce((sum, part) => 60 * sum + part, 0);
}
// As a number is typed, with the digits that it has: they say how finely the meter shows.
const plain = (text) => text.trim().replace(/[\s\u00a0]/g, "").replace(",", ".");

export class TypedDialog {
  #ask;
  #cards;
  #form = $("typed-form");
  #state;
  #visit;

  constructor(cards, { ask }) {
    this.#cards = cards;
    this.#ask = ask;
    this.#form.addEventListener("input", () => this.#read());
    this.#form.addEventListener("submit", () => this.#keep());
  }

  show({ controls }) {
    const before = this.#state && this.#settings();
    this.#state = controls;
    if (before !== undefined && before !== this.#settings()) this.#read();
  }

  #read() {
    const timing = $("typed-way").value === "timing";
    for (const part of this.#form.querySelectorAll("[data-way]")) part.hidden = (part.dataset.way === "timing") !== timing;
    const told = timing ? this.#timing() : this.#meter();
    this.#visit = told?.visit;
    $("typed-keep").disabled = !this.#visit;
    $("typed-said").textContent = held(told ? told.fault || told.said : "");
  }
  #settings() {
    const { tone, tolerance, "tape-tolerance": tape } = this.#state;
    return [tone.value, tolerance.value, tape.value].join(";");
  }
  #meter() {
    const left = plain($("typed-left").value), right = plain($("typed-right").value);
    if (left === "" && right === "") return undefined;
    return JSON.parse(this.#ask("bench-meter", `${left};${right}`, plain($("typed-accuracy").value), this.#settings(), $("typed-stage").value));
  }
  #timing() {
    const should = seconds_of($("typed-should").value), took = seconds_of($("typed-took").value);
    if (should === undefined || took === undefined) return undefined;
    return JSON.parse(this.#ask("bench-timing", String(should), String(took), this.#settings(), $("typed-stage").value));
  }
  #keep = one_at_a_time(async () => {
    if (!this.#visit) return;
    await this.#cards.keep(this.#visit);
    for (const id of ["typed-left", "typed-right", "typed-should", "typed-took"]) $(id).value = "";
    this.#read();
    $("typed-said").textContent = tr("It is on the card.");
  });
}
