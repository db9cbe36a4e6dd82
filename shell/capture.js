// Capture: the microphone, from the tap to blocks of samples. Every failure is reported and leaves it ready to start
// again; a start or stop makes whatever was under way void.
/** @import {Act, CaptureFault, Interruption, Phase} from "./types" */
/** @import {Program} from "./program.js" */
import { error_of } from "./errors.js";
import { show_lesser } from "./support.js";
import { tr } from "./words.js";

const kPatienceMs = 20000;  // for the browser's answer; a later one is still taken
const kWakeMs = 1500;       // for a context to begin to run

/** @type {Record<string, CaptureFault>} */
const kFaultOfError = {
  NotAllowedError: "permission_denied",
  NotFoundError: "no_device",
  NotReadableError: "device_busy",
  AbortError: "device_busy",
  OverconstrainedError: "device_unsuited",
  SecurityError: "insecure_origin",
};

class NeverAnswered extends Error {}

/** @param {number} ms @returns {Promise<void>} */
function wait(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** @param {MediaStream} [stream] */
function stop_tracks(stream) {
  for (const track of stream?.getTracks() ?? []) track.stop();
}

/** @returns {CaptureFault | undefined} */
function unsupported() {
  if (!isSecureContext) return "insecure_origin";
  if (!navigator.mediaDevices?.getUserMedia) return "not_supported";
  if (typeof AudioContext === "undefined" || typeof AudioWorkletNode === "undefined") return "not_supported";
  return undefined;
}

/** @param {string} device */
function constraints(device) {
  /** @type {MediaTrackConstraints} */
  const audio = { // each of these destroys a tone; what became of the wish is read back
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
    voiceIsolation: false,
    channelCount: { ideal: 2 },
  };
  if (device) audio.deviceId = { exact: device };
  return { audio };
}

/** @typedef {Pick<Program, "button" | "capture_failed" | "capture_started" | "devices_listed" | "interrupted" | "samples">} CaptureReport */

export class Capture {
  /** @type {Phase} */
  phase = "idle";        // of the program, as it last told the page
  /** @type {Act} */
  again = "act-listen";  // the act that does again what failed, likewise
  #report;
  #turn = 0;       // counts starts and stops: an answer of an older turn is void
  #starts = 0;     // counts starts alone: giving up waiting stops too, and a late answer may still come
  /** @type {AudioContext | undefined} */
  #context;
  /** @type {Promise<void> | undefined} */
  #module;         // the promise that the context knows the worklet
  /** @type {MediaStream | undefined} */
  #stream;
  /** @type {MediaStream | undefined} */
  #late;           // a stream that came after we had given up waiting

  /** @param {CaptureReport} report */
  constructor(report) {
    this.#report = report;
    document.addEventListener("visibilitychange", () => this.#visibility());
    document.addEventListener("pointerdown", () => this.#wake());
    navigator.mediaDevices?.addEventListener?.("devicechange", () => {
      if (this.#stream) this.list_devices();
    });
  }

  // Within the tap: browsers let sound begin there, and the worklet loads while the person is being asked.
  prime() {
    if (unsupported() || this.#context) return;
    this.#context = new AudioContext();
    this.#module = this.#context.audioWorklet.addModule("capture_worklet.js").catch((error) => {
      throw new Error(error.message); // an AbortError is told of devices that are in use
    });
    this.#module.catch(() => {}); // told where it is awaited
    this.#context.resume().catch(() => {});
  }

  /** @param {string} device its id; empty for the browser's choice */
  async start(device) {
    const turn = ++this.#turn;
    ++this.#starts;
    this.#let_go();
    const lack = unsupported();
    if (lack) {
      this.#report.capture_failed(lack, "");
      return;
    }
    try {
      this.prime();
      const stream = await this.#ask(device);
      if (turn === this.#turn) await this.#connect(stream, turn);
      else stop_tracks(stream);
    } catch (thrown) {
      if (turn !== this.#turn) return;
      const error = error_of(thrown);
      this.#let_go();
      this.#close_context();
      const fault = error instanceof NeverAnswered ? "never_answered" : (kFaultOfError[error.name] ?? "other");
      this.#report.capture_failed(fault, `${error.name}: ${error.message}`);
    }
  }

  stop() {
    ++this.#turn;
    stop_tracks(this.#late);
    this.#late = undefined;
    this.#let_go();
    this.#close_context();
  }

  async list_devices() {
    const all = await navigator.mediaDevices?.enumerateDevices?.().catch(() => []);
    const inputs = (all ?? []).filter((device) => device.kind === "audioinput");
    this.#report.devices_listed(inputs.map((device, i) => ({
      id: device.deviceId,
      label: device.label || tr("Microphone {0}", i + 1),
    })));
  }

  /** @param {string} device */
  async #ask(device) {
    if (this.#late?.active) {
      const stream = this.#late;
      this.#late = undefined;
      return stream;
    }
    const start = this.#starts;
    const answer = this.#stream_of(device);
    let answered = false;
    const gave_up = wait(kPatienceMs).then(() => {
      if (!answered) throw new NeverAnswered("no answer");
    });
    gave_up.catch(() => answer.then((stream) => this.#keep_late(stream, start), () => {}));
    return Promise.race([answer.finally(() => (answered = true)), gave_up.then(() => answer)]);
  }
  // A device that has gone since it was chosen must not keep anyone from measuring with another one.
  /** @param {string} device */
  async #stream_of(device) {
    try {
      return await navigator.mediaDevices.getUserMedia(constraints(device));
    } catch (error) {
      if (!device || !["OverconstrainedError", "NotFoundError"].includes(error_of(error).name)) throw error;
      return navigator.mediaDevices.getUserMedia(constraints(""));
    }
  }
  // The person said yes after all: as if Listen had been pressed again, with the stream at hand.
  /** @param {MediaStream} stream @param {number} start */
  #keep_late(stream, start) {
    if (start !== this.#starts || this.phase !== "failed") {
      stop_tracks(stream);
      return;
    }
    this.#late = stream;
    this.#report.button(this.again);
  }

  /** @param {MediaStream} stream @param {number} turn */
  async #connect(stream, turn) {
    this.#stream = stream;
    const context = this.#context;
    await this.#module;
    if (turn !== this.#turn || !context) return; // let go by whoever started or stopped
    const track = stream.getAudioTracks()[0];
    const settings = track.getSettings();
    show_lesser(settings);
    const channels = Math.min(2, settings.channelCount ?? 2);
    const node = new AudioWorkletNode(context, "four76-capture", {
      outputChannelCount: [1],
      channelCount: channels,
      channelCountMode: "explicit",
      channelInterpretation: "speakers", // one channel made two is two equal ones, which the program sees
    });
    context.createMediaStreamSource(stream).connect(node);
    node.connect(context.destination); // it puts out silence; unconnected, some browsers would not run it
    this.#report.capture_started({ rate_hz: context.sampleRate, channels, settings, label: track.label });
    this.#watch(track, context, turn); // what it tells is of a capture that has started
    node.port.onmessage = ({ data }) => {
      if (turn === this.#turn) this.#report.samples(data, channels);
    };
    await this.#check_running(context, turn);
  }

  /** @param {MediaStreamTrack} track @param {AudioContext} context @param {number} turn */
  #watch(track, context, turn) {
    const tell = (/** @type {Interruption} */ what) => () => {
      if (turn === this.#turn) this.#report.interrupted(what);
    };
    track.onmute = tell("muted");
    track.onunmute = tell("unmuted");
    track.onended = () => {
      tell("device_ended")();
      if (turn === this.#turn) this.stop();
    };
    context.onstatechange = () => tell(context.state === "running" ? "resumed" : "suspended")();
    if (track.muted) tell("muted")();
  }

  // A context may call itself running and stand still, or never answer resume().
  /** @param {AudioContext} context @param {number} turn */
  async #check_running(context, turn) {
    const before = context.currentTime;
    await Promise.race([context.resume().catch(() => {}), wait(kWakeMs)]);
    for (let waited = 0; waited < kWakeMs && context.currentTime === before; waited += 100) await wait(100);
    if (turn !== this.#turn) return;
    this.#report.interrupted(context.currentTime === before ? "suspended" : "resumed");
  }
  #wake() {
    if (this.#stream && this.#context && this.#context.state !== "running") this.#check_running(this.#context, this.#turn);
  }
  #visibility() {
    const visible = document.visibilityState === "visible";
    this.#report.interrupted(visible ? "visible" : "hidden");
    if (visible) this.#wake();
  }

  // The context outlives a stream that is replaced; a fresh one comes with the next start, as rates may have changed.
  #let_go() {
    if (!this.#stream) return;
    stop_tracks(this.#stream);
    this.#stream = undefined;
    this.#close_context();
  }
  #close_context() {
    if (!this.#context) return;
    this.#context.onstatechange = null;
    this.#context.close().catch(() => {});
    this.#context = undefined;
  }
}
