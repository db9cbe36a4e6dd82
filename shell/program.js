// Program: the wasm module, and its exported C functions (web/platform/browser.cpp, web/platform/canvas.cpp) as plain methods.
// What is reported before it has loaded is kept and reported then.
/** @import {Address, Ask, Calls, CaptureFault, Change, Interruption, Page, PageModule} from "./types" */
import { $canvas } from "./dom.js";

/** @type {CaptureFault[]} */
export const kFaults = ["permission_denied", "no_device", "device_busy", "device_unsuited", "insecure_origin", "never_answered", "not_supported", "other"];
/** @type {Interruption[]} */
const kInterruptions = ["device_ended", "muted", "unmuted", "suspended", "resumed", "hidden", "visible"];
const kFonts = ["fonts/B612-Regular.otf", "fonts/B612-Bold.otf"]; // in the order of web/draw/fonts.cpp
/** @type {Map<unknown, number>} */
const kProcessing = new Map([[false, 1], [true, 2]]); // a key that is not reported is unknown: 0

/** @param {string} source */
function load_script(source) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = source;
    script.onload = resolve;
    script.onerror = () => reject(new Error(`${source} could not be loaded`));
    document.head.append(script);
  });
}

/** @param {string} source */
async function load_bytes(source) {
  const response = await fetch(source);
  if (!response.ok) throw new Error(`${source} could not be loaded`);
  return new Uint8Array(await response.arrayBuffer());
}

export class Program {
  /** @type {PageModule | undefined} */
  #loading;
  running = false;  // main has run
  /** @type {(() => void)[]} */
  #waiting = [];

  /** @param {Page} page */
  async load(page) {
    [page.fonts] = await Promise.all([Promise.all(kFonts.map(load_bytes)), load_script("four76.js")]);
    /** @type {Pick<PageModule, "page" | "locateFile" | "canvas">} */
    const given = { page, locateFile: (name) => name, canvas: $canvas("instrument") };
    this.#loading = /** @type {PageModule} */ (given); // as soon as main runs, it has all else
    await globalThis.createFour76(this.#loading); // runs main
    this.running = true;
    for (const act of this.#waiting.splice(0)) act();
  }

  get #module() {
    if (!this.#loading) throw new Error("the program is not there yet");
    return this.#loading;
  }
  // Calls an exported function; strings become C strings for the length of the call.
  /** @template {keyof Calls} Name @param {Name} name @param {Parameters<Calls[Name]>} values */
  call(name, ...values) {
    const module = this.#module;
    /** @type {Address[]} */
    const strings = [];
    const plain = values.map((value) => {
      if (typeof value !== "string") return value;
      const bytes = module.lengthBytesUTF8(value) + 1;
      const text = module._malloc(bytes);
      module.stringToUTF8(value, text, bytes);
      strings.push(text);
      return text;
    });
    try {
      return module[`_${name}`](...plain);
    } finally {
      for (const text of strings) module._free(text);
    }
  }
  // A question to the records: text in, text out (web/doors/records.hpp).
  /** @type {Ask} */
  ask(what, ...texts) {
    const address = this.call("page_ask", what, ...[0, 1, 2, 3].map((i) => texts[i] ?? ""));
    const answer = this.#module.UTF8ToString(address);
    this.#module._free(address);
    return answer;
  }
  // A test tone as a WAV file; throws what is wrong, in words.
  /** @param {number} hz @param {number} seconds @param {boolean} stepped */
  tone_file(hz, seconds, stepped) {
    const fault = this.call("page_tone_begin", hz, seconds, stepped ? 1 : 0);
    if (fault) {
      const words = this.#module.UTF8ToString(fault);
      this.#module._free(fault);
      throw new Error(words);
    }
    const kPiece = 1 << 20, pieces = [], address = this.#module._malloc(kPiece);
    for (let size; (size = this.#module._page_tone_next(address, kPiece)) > 0; )
      pieces.push(this.#module.HEAPU8.slice(address, address + size));
    this.#module._free(address);
    return new Blob(pieces, { type: "audio/wav" });
  }
  /** @param {() => void} act */
  #when_it_runs(act) {
    if (this.running) act();
    else this.#waiting.push(act);
  }
  /** @template {keyof Calls} Name @param {Name} name @param {Parameters<Calls[Name]>} values */
  #report(name, ...values) {
    this.#when_it_runs(() => this.call(name, ...values));
  }
  /** @param {"page_file_measured" | "page_song_matched"} name @param {Uint8Array} bytes */
  #report_bytes(name, bytes) {
    this.#when_it_runs(() => {
      const address = this.#module._malloc(bytes.length);
      this.#module.HEAPU8.set(bytes, address);
      this.call(name, address, bytes.length);
      this.#module._free(address);
    });
  }

  /** @param {{rate_hz: number, channels: number, settings: MediaTrackSettings, label: string}} info */
  capture_started(info) {
    const { rate_hz, channels, settings, label } = info;
    this.#report("page_capture_started", rate_hz, settings.sampleRate ?? 0, channels,
      kProcessing.get(settings.echoCancellation) ?? 0, kProcessing.get(settings.noiseSuppression) ?? 0,
      kProcessing.get(settings.autoGainControl) ?? 0, kProcessing.get(settings.voiceIsolation) ?? 0,
      settings.deviceId ?? "", label);
  }
  /** @param {CaptureFault} fault @param {string} detail */
  capture_failed(fault, detail) {
    this.#report("page_capture_failed", kFaults.indexOf(fault), detail);
  }
  /** @param {Interruption} what */
  interrupted(what) {
    this.#report("page_capture_interrupted", kInterruptions.indexOf(what));
  }
  /** @param {{id: string, label: string}[]} devices */
  devices_listed(devices) {
    for (const { id, label } of devices) this.#report("page_device", id, label);
    this.#report("page_devices_listed");
  }
  // Interleaved; copied before the call returns.
  /** @param {Float32Array} interleaved @param {number} channels */
  samples(interleaved, channels) {
    if (!this.running) return;
    const address = this.#module._page_sample_buffer(interleaved.length);
    this.#module.HEAPF32.set(interleaved, address >> 2);
    this.#module._page_push_samples(interleaved.length, channels);
  }

  /** @param {string} name */
  file_started(name) {
    this.#report("page_file_started", name);
  }
  /** @param {number} fraction */
  file_progress(fraction) {
    this.#report("page_file_progress", fraction);
  }
  /** @param {string} message */
  file_failed(message) {
    this.#report("page_file_failed", message);
  }
  /** @param {Uint8Array} bytes */
  file_measured(bytes) {
    this.#report_bytes("page_file_measured", bytes);
  }

  // Of the song bench: a reference's samples, or what a tape's file came to.
  /** @param {string} name @param {boolean} tape */
  song_file_started(name, tape) {
    this.#report("page_song_file_started", name, tape ? 1 : 0);
  }
  /** @param {Float32Array} samples */
  song_read(samples) {
    const address = this.#module._page_song_buffer(samples.length);
    this.#module.HEAPF32.set(samples, address >> 2);
    this.#module._page_song_read();
  }
  /** @param {Uint8Array} bytes */
  song_matched(bytes) {
    this.#report_bytes("page_song_matched", bytes);
  }
  // A copy of the reference's samples.
  song_samples() {
    const first = this.#module._page_song_samples() >> 2;
    return this.#module.HEAPF32.slice(first, first + this.#module._page_song_size());
  }

  /** @param {string} question @param {number} [value] */
  number_entered(question, value) {
    this.#report("page_number_entered", question, value === undefined ? 0 : 1, value ?? 0);
  }
  /** @param {string} act */
  button(act) {
    this.#report("page_button", act);
  }
  /** @param {string} id */
  drawn_pressed(id) {
    this.#report("page_drawn_pressed", id);
  }
  /** @type {Change} */
  control(name, value) {
    this.#report("page_control", name, value);
  }
  update_ready() {
    this.#report("page_update_ready");
  }
  /** @param {string} text */
  fragment(text) {
    this.#report("page_fragment", text);
  }
}
