// Typed: the dialog in which a meter's or a watch's reading is typed; it becomes a visit like any other. What it means is
// told by the bench (web/doors/bench).
/** @import {CardsDialog} from "./cards.js" */
/** @import {Ask, NewVisit, Settings, State, TypedTold} from "./types" */
import { $, $button, $form, $input, $select, all, one_at_a_time } from "./dom.js";
import { held } from "./held.js";
import { number_of } from "./numbers.js";
import { tr } from "./words.js";

// "45:00", "1:02:30" or seconds.
/** @param {string} text */
function seconds_of(text) {
  const parts = text.trim().split(":"), numbers = parts.map(number_of).filter((part) => part !== undefined);
  if (parts.length > 3 || numbers.length < parts.length) return undefined;
  return numbers.reduce((sum, part) => 60 * sum + part, 0);
}
// As a number is typed, with the digits that it has: they say how finely the meter shows.
const plain = (/** @type {string} */ text) => text.trim().replace(/[\s\u00a0]/g, "").replace(",", ".");

/** @param {Settings} controls */
function settings_of({ tone, tolerance, "tape-tolerance": tape }) {
  return [tone.value, tolerance.value, tape.value].join(";");
}

export class TypedDialog {
  #ask;
  #cards;
  #form = $form("typed-form");
  /** @type {Settings | undefined} */
  #state;
  /** @type {NewVisit | undefined} */
  #visit;

  /** @param {CardsDialog} cards @param {{ask: Ask}} page */
  constructor(cards, { ask }) {
    this.#cards = cards;
    this.#ask = ask;
    this.#form.addEventListener("input", () => this.#read());
    this.#form.addEventListener("submit", () => this.#keep());
  }

  /** @param {State} state */
  show({ controls }) {
    const before = this.#state && settings_of(this.#state);
    this.#state = controls;
    if (before !== undefined && before !== settings_of(controls)) this.#read();
  }

  #read() {
    const timing = $select("typed-way").value === "timing";
    for (const part of all(this.#form, "[data-way]", HTMLElement)) {
      part.hidden = (part.dataset.way === "timing") !== timing;
    }
    const told = this.#state && (timing ? this.#timing(this.#state) : this.#meter(this.#state));
    this.#visit = told && (told.fault ? undefined : told.visit);
    $button("typed-keep").disabled = !this.#visit;
    $("typed-said").textContent = held(told ? told.fault || told.said : "");
  }
  /** @param {Settings} controls @returns {TypedTold | undefined} */
  #meter(controls) {
    const left = plain($input("typed-left").value), right = plain($input("typed-right").value);
    if (left === "" && right === "") return undefined;
    const accuracy = plain($input("typed-accuracy").value), stage = $select("typed-stage").value;
    return JSON.parse(this.#ask("bench-meter", `${left};${right}`, accuracy, settings_of(controls), stage));
  }
  /** @param {Settings} controls @returns {TypedTold | undefined} */
  #timing(controls) {
    const should = seconds_of($input("typed-should").value), took = seconds_of($input("typed-took").value);
    if (should === undefined || took === undefined) return undefined;
    const stage = $select("typed-stage").value;
    return JSON.parse(this.#ask("bench-timing", String(should), String(took), settings_of(controls), stage));
  }
  #keep = one_at_a_time(async () => {
    if (!this.#visit) return;
    await this.#cards.keep(this.#visit);
    for (const id of ["typed-left", "typed-right", "typed-should", "typed-took"]) $input(id).value = "";
    this.#read();
    $("typed-said").textContent = tr("It is on the card.");
  });
}
