// What this browser lacks, in words, with a way on.
import { $, element } from "./dom.js";
import { tr } from "./words.js";

function has_webgl2() {
  try {
    const context = document.createElement("canvas").getContext("webgl2");
    context?.getExtension("WEBGL_lose_context")?.loseContext(); // it was only a question
    return Boolean(context);
  } catch {
    return false;
  }
}

function missing() {
  const lacks = [];
  if (typeof WebAssembly !== "object") {
    lacks.push(tr("Missing here: WebAssembly. The measuring program cannot run at all. Take a current Firefox, Chrome or Safari, and leave “lockdown” modes."));
  }
  if (!isSecureContext) {
    lacks.push(tr("Missing here: a secure address. Browsers give the microphone only to pages opened by https, or from localhost. Recordings can be measured all the same."));
  } else if (!navigator.mediaDevices?.getUserMedia) {
    lacks.push(tr("Missing here: access to a microphone (getUserMedia). Recordings can be measured all the same."));
  }
  if (isSecureContext && typeof AudioWorkletNode === "undefined") {
    lacks.push(tr("Missing here: AudioWorklet. Sound cannot be taken over unchanged. Take a current browser, or measure a recording."));
  }
  if (!has_webgl2()) {
    lacks.push(tr("Missing here: WebGL 2. The instrument cannot be drawn, its reading is told as text. Switch on graphics acceleration, or take another browser."));
    $("undrawn").hidden = false;
    $("app").dataset.undrawn = "";
    for (const id of ["reading", "reading-channels"]) {
      const list = $(id);
      list.classList.remove("apart");
      $("undrawn").append(list);
    }
  }
  return lacks;
}

// What a measurement does without, but a person may count on.
/** @type {[has: (input: MediaTrackSettings) => unknown, what: string][]} */
const kLesser = [
  [() => navigator.serviceWorker, tr("open without a network")],
  [() => navigator.storage?.persist, tr("promise to keep cards (save them as a file)")],
  [() => navigator.wakeLock, tr("keep the screen on")],
  [() => navigator.vibrate, tr("vibrate")],
  [() => globalThis.speechSynthesis, tr("speak")],
  [() => navigator.share, tr("share a link")],
  [(input) => input.channelCount, tr("tell how many channels come in")],
  [(input) => input.sampleRate, tr("tell the microphone's sample rate")],
];

// `input`: what the browser says of the microphone in use; before one is, nothing of it is missed.
/** @param {MediaTrackSettings} input */
export function show_lesser(input = { channelCount: 1, sampleRate: 1 }) {
  const lacks = kLesser.filter(([has]) => !has(input)).map(([, what]) => what);
  $("cannot").textContent = lacks.length > 0 ? tr("This browser cannot: {0}.", lacks.join("; ")) : "";
}

export function show_missing() {
  show_lesser();
  const lacks = missing();
  const list = $("missing");
  list.replaceChildren(...lacks.map((lack) => element("li", { textContent: lack })));
  list.hidden = lacks.length === 0;
}
