// Test tape: a tone to be recorded, played or saved; and what a tape of one's own really carries, by a trusted one. The
// tapes that were certified are kept with the cards.
import { new_id } from "./card_book.js";
import { $, element, list_button, one_at_a_time, when_opened } from "./dom.js";
import { held } from "./held.js";
import { ask_for_number, figures_of, is_within, number_of } from "./numbers.js";
import { save_file } from "./save_file.js";
import { number_text, tr } from "./words.js";

const kTones_hz = [100, 10000]; // as core/tone/nominal_tones has it
const kTakes = ["trusted", "own", "again"];
const kPlayed = 10 ** (-12 / 20);

export class TestTapeDialog {
  #book;
  #change;
  #ask;
  #tone_file;
  #measured;      // what was measured last
  #taken = {};    // of kTakes
  #controls;
  #playing;

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
    const dialog = $("test-tape");
    dialog.addEventListener("close", () => this.#stop());
    when_opened(dialog, () => {
      $("tape-hz").value ||= this.#controls.tone.value;
      $("tape-nominal").value ||= this.#controls.tone.value;
      $("tape-u95").value ||= this.#controls["tape-tolerance"].value;
      this.#render();
    });
  }

  show({ controls, measure }) {
    this.#controls = controls;
    const { percent, u95_percent } = measure;
    if (this.#measured?.percent === percent) return;
    this.#measured = { percent, u95_percent };
    if ($("test-tape").open) this.#render();
  }

  #tone() {
    const hz = number_of($("tape-hz").value);
    if (is_within(hz, ...kTones_hz)) return hz;
    this.#said(ask_for_number(...kTones_hz, "Hz"));
    return undefined;
  }
  #play() {
    if (this.#playing) return this.#stop();
    const hz = this.#tone();
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
      save_file(`four76-tone-${hz}Hz.wav`, "audio/wav", this.#tone_file(hz, 60 * Number($("tape-minutes").value), $("tape-steps").value !== ""));
    } catch (error) {
      this.#said(error.message);
    }
  }

  #take(name) {
    this.#taken[name] = this.#measured;
    this.#render();
  }
  #render() {
    const there = typeof this.#measured?.percent === "number";
    for (const name of kTakes) {
      const taken = this.#taken[name];
      $(`tape-${name}`).disabled = !there;
      $(`tape-${name}-taken`).textContent = taken ? held(number_text(`${taken.percent > 0 ? "+" : ""}${taken.percent.toFixed(3)} \u00b1 ${taken.u95_percent.toFixed(3)} %`)) : "";
    }
    this.#certify();
    $("tape-known").replaceChildren(...this.#book.tapes.map((tape) => this.#known(tape)));
    $("tape-none").hidden = this.#book.tapes.length > 0;
  }
  #certify() {
    const text = (name) => (this.#taken[name] ? [this.#taken[name].percent, this.#taken[name].u95_percent].map(figures_of).join(";") : "");
    const told = this.#taken.own && this.#taken.trusted &&
      JSON.parse(this.#ask("bench-certify", text("own"), text("trusted"), text("again"), `${$("tape-nominal").value.trim()};${$("tape-u95").value.trim()}`));
    this.certificate = told?.fault === "" ? told : undefined;
    $("tape-certified").textContent = held(told ? told.fault || told.said : "");
    $("tape-keep").hidden = !this.certificate;
  }
  async #keep() {
    const name = $("tape-name").value.trim() || tr("My tape of {0} Hz", number_text(this.certificate.true_hz.toFixed(1)));
    const { true_hz, u95_percent } = this.certificate;
    await this.#book.put_tape({ id: new_id(), name, true_hz, u95_percent, certified_by: $("tape-by").value.trim(), changed_ms: Date.now() });
    this.#taken = {};
    this.#render();
    $("tape-certified").textContent = tr("It is kept.");
  }
  #known(tape) {
    const use = list_button(tr("Use"), tr("Use {0}", tape.name), () => {
      this.#change("tone", String(tape.true_hz));
      this.#change("tape-tolerance", String(tape.u95_percent));
      this.#said(tr("{0} is set: {1} Hz.", tape.name, number_text(tape.true_hz.toFixed(2))));
    });
    const forget = list_button(tr("Forget"), tr("Forget {0}", tape.name), async () => {
      await this.#book.remove_tape(tape.id);
      this.#render();
    });
    const text = held(`${tape.name}: ${number_text(`${tape.true_hz?.toFixed(2)} Hz \u00b1 ${tape.u95_percent?.toFixed(3)} %`)}`);
    return element("li", {}, text, use, forget);
  }
  #said(text) {
    $("tape-said").textContent = text;
  }
}
