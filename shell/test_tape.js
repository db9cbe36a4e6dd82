// Test tape: a tone to be recorded, played or saved; and what a tape of one's own really carries, by a trusted one. The
// tapes that were certified are kept with the cards.
/** @import {CardBook} from "./card_book.js" */
/** @import {Program} from "./program.js" */
/** @import {Ask, CertifyTold, Change, KnownTape, Settings, State} from "./types" */
import { new_id } from "./card_book.js";
import { $, $button, $dialog, $input, $select, element, list_button, one_at_a_time, when_opened } from "./dom.js";
import { error_of } from "./errors.js";
import { held } from "./held.js";
import { ask_for_number, figures_of, is_within, number_of } from "./numbers.js";
import { save_file } from "./save_file.js";
import { number_text, tr } from "./words.js";

/** @type {[lowest: number, highest: number]} */
const kTones_hz = [100, 10000]; // as core/tone/nominal_tones has it
const kTakes = /** @type {const} */ (["trusted", "own", "again"]);
/** @typedef {typeof kTakes[number]} Take */
/** @typedef {{percent: number, u95_percent: number}} Measured */
const kPlayed = 10 ** (-12 / 20);

export class TestTapeDialog {
  #book;
  #change;
  #ask;
  #tone_file;
  #dialog = $dialog("test-tape");
  /** @type {Measured | undefined} */
  #measured;      // what was measured last
  /** @type {Partial<Record<Take, Measured>>} */
  #taken = {};
  /** @type {Settings | undefined} */
  #controls;
  /** @type {AudioContext | undefined} */
  #playing;
  /** @type {(CertifyTold & {fault: ""}) | undefined} */
  #certificate;

  /** @param {CardBook} book @param {{change: Change, ask: Ask, tone_file: Program["tone_file"]}} page */
  constructor(book, { change, ask, tone_file }) {
    this.#book = book;
    this.#change = change;
    this.#ask = ask;
    this.#tone_file = tone_file;
    $("tape-play").addEventListener("click", () => this.#play());
    $("tape-save").addEventListener("click", () => this.#save());
    for (const name of kTakes) $(`tape-${name}`).addEventListener("click", () => this.#take(name));
    for (const id of ["tape-nominal", "tape-u95"]) $(id).addEventListener("input", () => this.#certify());
    $("tape-keep").addEventListener("click", one_at_a_time(() => this.#keep()));
    this.#dialog.addEventListener("close", () => this.#stop());
    when_opened(this.#dialog, () => {
      $input("tape-hz").value ||= this.#controls?.tone.value ?? "";
      $input("tape-nominal").value ||= this.#controls?.tone.value ?? "";
      $input("tape-u95").value ||= this.#controls?.["tape-tolerance"].value ?? "";
      this.#render();
    });
  }

  /** @param {State} state */
  show({ controls, measure }) {
    this.#controls = controls;
    const { percent, u95_percent } = measure;
    if ((this.#measured?.percent ?? null) === percent) return;
    this.#measured = percent === null || u95_percent === null ? undefined : { percent, u95_percent };
    if (this.#dialog.open) this.#render();
  }

  #tone() {
    const hz = number_of($input("tape-hz").value);
    if (is_within(hz, ...kTones_hz)) return hz;
    this.#said(ask_for_number(...kTones_hz, "Hz"));
    return undefined;
  }
  #play() {
    const hz = this.#playing ? undefined : this.#tone();
    if (this.#playing) this.#stop();
    if (hz === undefined) return;
    const context = new AudioContext();
    const gain = new GainNode(context, { gain: 0 });
    gain.gain.setTargetAtTime(kPlayed, context.currentTime + 0.05, 0.01);
    const tone = new OscillatorNode(context, { frequency: hz });
    tone.connect(gain).connect(context.destination);
    tone.start();
    this.#playing = context;
    $("tape-play").textContent = tr("Stop");
    this.#said(tr("{0} Hz is being played.", number_text(hz)));
  }
  #stop() {
    this.#playing?.close();
    this.#playing = undefined;
    $("tape-play").textContent = tr("Play");
    this.#said("");
  }
  #save() {
    const hz = this.#tone();
    if (hz === undefined) return;
    try {
      save_file(`four76-tone-${hz}Hz.wav`, "audio/wav", this.#tone_file(hz, 60 * Number($select("tape-minutes").value), $select("tape-steps").value !== ""));
    } catch (error) {
      this.#said(error_of(error).message);
    }
  }

  /** @param {Take} name */
  #take(name) {
    this.#taken[name] = this.#measured;
    this.#render();
  }
  #render() {
    for (const name of kTakes) {
      const taken = this.#taken[name];
      $button(`tape-${name}`).disabled = !this.#measured;
      $(`tape-${name}-taken`).textContent = taken ? held(number_text(`${taken.percent > 0 ? "+" : ""}${taken.percent.toFixed(3)} \u00b1 ${taken.u95_percent.toFixed(3)} %`)) : "";
    }
    this.#certify();
    $("tape-known").replaceChildren(...this.#book.tapes.map((tape) => this.#known(tape)));
    $("tape-none").hidden = this.#book.tapes.length > 0;
  }
  #certify() {
    /** @type {(taken: Measured | undefined) => string} */
    const text = (taken) => (taken ? [taken.percent, taken.u95_percent].map(figures_of).join(";") : "");
    const terms = `${$input("tape-nominal").value.trim()};${$input("tape-u95").value.trim()}`;
    const { own, trusted, again } = this.#taken;
    /** @type {CertifyTold | undefined} */
    const told = own && trusted &&
      JSON.parse(this.#ask("bench-certify", text(own), text(trusted), text(again), terms));
    this.#certificate = told && !told.fault ? told : undefined;
    $("tape-certified").textContent = held(told ? told.fault || told.said : "");
    $("tape-keep").hidden = !this.#certificate;
  }
  async #keep() {
    if (!this.#certificate) return;
    const { true_hz, u95_percent } = this.#certificate;
    const name = $input("tape-name").value.trim() || tr("My tape of {0} Hz", number_text(true_hz.toFixed(1)));
    const certified_by = $input("tape-by").value.trim();
    await this.#book.put_tape({ id: new_id(), name, true_hz, u95_percent, certified_by, changed_ms: Date.now() });
    this.#taken = {};
    this.#render();
    $("tape-certified").textContent = tr("It is kept.");
  }
  /** @param {KnownTape} tape */
  #known({ id, name = "\u2013", true_hz, u95_percent }) {
    const use = list_button(tr("Use"), tr("Use {0}", name), () => {
      if (true_hz === undefined) return;
      this.#change("tone", String(true_hz));
      this.#change("tape-tolerance", u95_percent === undefined ? "" : String(u95_percent));
      this.#said(tr("{0} is set: {1} Hz.", name, number_text(true_hz.toFixed(2))));
    });
    use.disabled = true_hz === undefined;
    const forget = list_button(tr("Forget"), tr("Forget {0}", name), async () => {
      await this.#book.remove_tape(id);
      this.#render();
    });
    const figures = `${true_hz?.toFixed(2) ?? "\u2013"} Hz \u00b1 ${u95_percent?.toFixed(3) ?? "\u2013"} %`;
    return element("li", {}, held(`${name}: ${number_text(figures)}`), use, forget);
  }
  /** @param {string} text */
  #said(text) {
    $("tape-said").textContent = text;
  }
}
