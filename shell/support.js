// What this browser lacks, in words, with a way on.

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
    lacks.push("WebAssembly. The measuring program cannot run at all. Take a current Firefox, Chrome or Safari, and leave “lockdown” modes.");
  }
  if (!isSecureContext) {
    lacks.push("a secure address. Browsers give the microphone only to pages opened by https, or from localhost. Recordings can be measured all the same.");
  } else if (!navigator.mediaDevices?.getUserMedia) {
    lacks.push("access to a microphone (getUserMedia). Recordings can be measured all the same.");
  }
  if (isSecureContext && typeof AudioWorkletNode === "undefined") {
    lacks.push("AudioWorklet. Sound cannot be taken over unchanged. Take a current browser, or measure a recording.");
  }
  if (!has_webgl2()) {
    lacks.push("WebGL 2. The instrument cannot be drawn, its reading is told as text. Switch on graphics acceleration, or take another browser.");
    document.getElementById("undrawn").hidden = false;
    for (const id of ["reading", "reading-channels"]) {
      const list = document.getElementById(id);
      list.classList.remove("apart");
      document.getElementById("undrawn").append(list);
    }
  }
  return lacks;
}

// What a measurement does without, but a person may count on.
const kLesser = [
  [() => navigator.serviceWorker, "open without a network"],
  [() => navigator.storage?.persist, "promise to keep cards (save them as a file)"],
  [() => navigator.wakeLock, "keep the screen on"],
  [() => navigator.vibrate, "vibrate"],
  [() => globalThis.speechSynthesis, "speak"],
  [() => navigator.share, "share a link"],
  [(input) => input.channelCount, "tell how many channels come in"],
  [(input) => input.sampleRate, "tell the microphone's sample rate"],
];

// `input`: what the browser says of the microphone in use; before one is, nothing of it is missed.
export function show_lesser(input = { channelCount: 1, sampleRate: 1 }) {
  const lacks = kLesser.filter(([has]) => !has(input)).map(([, what]) => what);
  document.getElementById("cannot").textContent = lacks.length > 0 ? `This browser cannot: ${lacks.join("; ")}.` : "";
}

export function show_missing() {
  show_lesser();
  const lacks = missing();
  const list = document.getElementById("missing");
  list.replaceChildren(...lacks.map((lack) => {
    const item = document.createElement("li");
    item.textContent = `Missing here: ${lack}`;
    return item;
  }));
  list.hidden = lacks.length === 0;
}
