// Coach: the direction under the dial, unfolded. What to do with the screw is drawn large; here the person tells of a turn,
// and, for hands and eyes that are busy, it speaks by the phone's shaking or by ear. What it says is the program's. A sound
// that the microphone could hear would spoil the reading: it is played only where the person has said that it cannot.
/** @import {Change, Coach, CoachWay} from "./types" */
import { $, $input, $select, set_text } from "./dom.js";
import { keep, kept } from "./settings_store.js";
import { language, tr } from "./words.js";

/** @typedef {Exclude<CoachWay, "none">} Cue */
/** @type {Record<Cue, number[]>} */
const kPulsesMs = { leave: [400], slower: [80, 80, 80], faster: [80, 80, 80], wait: [40], distrust: [150, 100, 150] };
/** @type {Record<Cue, number[]>} */
const kTonesHz = { leave: [660, 660], slower: [660, 440], faster: [440, 660], wait: [220], distrust: [220] };
const kToneS = 0.15;
const kQuietMs = 1500; // between two cues: words that follow each other faster would only confuse

export class CoachDialog {
  #large = $("coach-large");
  #vibrate = $input("coach-vibrate");
  #apart = $input("coach-apart");
  #cue = $select("coach-cue");
  #shown = "";
  #cued = "";
  #cued_ms = -Infinity;
  /** @type {AudioContext | undefined} */
  #context;
  #place = $("coach");
  #opener = $("open-coach");
  #change;

  /** @param {{change: Change}} page */
  constructor({ change }) {
    this.#change = change;
    this.#place.addEventListener("unfold", () => this.#unfold(true));
    this.#opener.addEventListener("click", () => this.#unfold(this.#place.hidden));
    $("coach-close").addEventListener("click", () => this.#unfold(false));
    for (const [id, way] of [["coach-clockwise", "clockwise"], ["coach-counter", "counter-clockwise"]]) {
      $(id).addEventListener("click", () => change("turned", way));
    }
    const vibrates = this.#vibrate.closest("p");
    if (vibrates) vibrates.hidden = !navigator.vibrate;
    this.#vibrate.checked = kept("vibrate") === "on";
    this.#vibrate.addEventListener("change", () => keep("vibrate", this.#vibrate.checked ? "on" : ""));
    if (!globalThis.speechSynthesis) this.#cue.querySelector('[value="say"]')?.remove();
    // Said anew each time: a cable may have been pulled out since.
    this.#apart.addEventListener("change", () => {
      this.#cue.disabled = !this.#apart.checked;
      if (!this.#apart.checked) this.#cue.value = "";
    });
    this.#cue.addEventListener("change", () => {
      if (this.#cue.value === "tones") this.#context ??= new AudioContext();
    });
  }

  /** @param {boolean} open */
  #unfold(open) {
    this.#place.hidden = !open;
    this.#opener.setAttribute("aria-expanded", String(open));
    this.#change("coach", open ? "open" : "");
    if (open) $("coach-close").focus({ preventScroll: true });
    else (this.#opener.hidden ? $("open-settings") : this.#opener).focus({ preventScroll: true });
  }

  /** @param {Coach} told @param {boolean} usable */
  show(told, usable) {
    const json = JSON.stringify([told, usable]);
    if (json === this.#shown) return;
    this.#shown = json;
    const { kind, way, large, detail, screw, turns } = told;
    set_text($("coach-large"), large);
    set_text($("coach-detail"), detail);
    set_text($("coach-screw"), screw);
    set_text($("coach-turns"), turns.length > 0 ? tr("Turns so far: {0}", turns.join("; ")) : "");
    Object.assign(this.#large.dataset, { kind, way });
    for (const id of ["coach-clockwise", "coach-counter"]) $(id).hidden = !usable;
    if (usable && way !== "none") this.#tell(way, large);
  }

  /** @param {Cue} way @param {string} large */
  #tell(way, large) {
    const now_ms = performance.now();
    if (large === this.#cued || now_ms - this.#cued_ms < kQuietMs) return;
    this.#cued = large;
    this.#cued_ms = now_ms;
    if (this.#vibrate.checked) navigator.vibrate?.(kPulsesMs[way]);
    if (!this.#apart.checked) return;
    if (this.#cue.value === "say") {
      speechSynthesis.cancel();
      speechSynthesis.speak(Object.assign(new SpeechSynthesisUtterance(large), { lang: language }));
    }
    if (this.#cue.value === "tones") this.#play(kTonesHz[way]);
  }
  /** @param {number[]} tones_hz */
  #play(tones_hz) {
    const context = this.#context;
    if (!context) return;
    for (const [i, hz] of tones_hz.entries()) {
      const at = context.currentTime + 0.05 + i * 1.3 * kToneS;
      const tone = new OscillatorNode(context, { frequency: hz });
      const loud = new GainNode(context, { gain: 0 });
      loud.gain.setTargetAtTime(0.2, at, 0.01); // soft ends
      loud.gain.setTargetAtTime(0, at + kToneS, 0.02);
      tone.connect(loud).connect(context.destination);
      tone.start(at);
      tone.stop(at + 2 * kToneS);
    }
  }
}
