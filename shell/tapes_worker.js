// What the page of any tapes measures with (web/tapes/door.cpp), beside the page so that it stays quick. It takes what is
// asked for in turn, and tells what is to be seen: while sound comes once a second, else after each.
/** @import {Address, TapesAsk, TapesModule, TapesNews} from "./types" */
importScripts("tapes.js");

const kLookMs = 1000;

/** @type {TapesModule} */
let program;
let channels = 1;
let looked_ms = 0;
let picture = { width: 640, height: 360 };
const ready = createTapes({ locateFile: (name) => name }).then((made) => (program = made));

/** @param {TapesNews} news */
function tell(news) {
  postMessage(news);
}
/** @param {string[]} texts @param {(...addresses: Address[]) => number} act */
function with_texts(texts, act) {
  const addresses = texts.map((text) => {
    const bytes = program.lengthBytesUTF8(text) + 1;
    const address = program._malloc(bytes);
    program.stringToUTF8(text, address, bytes);
    return address;
  });
  const answer = act(...addresses);
  addresses.forEach((address) => program._free(address));
  return answer;
}

function look() {
  looked_ms = performance.now();
  const shown = JSON.parse(program.UTF8ToString(program._tapes_look()));
  tell({ shown, picture: program.UTF8ToString(program._tapes_picture(picture.width, picture.height)) });
}
function tell_drawer() {
  tell({ drawer: program.UTF8ToString(program._tapes_drawer()) });
  look();
}

/** @param {Float32Array} samples */
function feed(samples) {
  const address = program._malloc(samples.byteLength);
  program.HEAPF32.set(samples, address >> 2);
  program._tapes_feed(address, samples.length / channels);
  program._free(address);
  if (performance.now() - looked_ms > kLookMs) look();
}
/** @param {number} address */
function tell_advice(address) {
  tell({ advice: JSON.parse(program.UTF8ToString(address)) });
}

/** @param {TapesAsk} ask */
function answer(ask) {
  switch (ask.act) {
    case "begin":
      with_texts([ask.catalogue], program._tapes_language);
      program._tapes_tolerance(ask.tolerance_percent);
      break;
    case "restore":
      if (!with_texts([ask.drawer], program._tapes_restore)) tell({ damaged: ask.drawer });
      return look();
    case "size":
      picture = ask;
      return look();
    case "open":
      channels = ask.channels;
      program._tapes_open(ask.rate_hz, ask.channels);
      return look();
    case "sound":
      return feed(ask.samples);
    case "heard":
      look();
      return tell({ heard: true });
    case "keep":
      if (with_texts([ask.name], program._tapes_keep)) tell_drawer();
      break;
    case "clear":
      program._tapes_clear();
      return look();
    case "drop":
      program._tapes_drop(ask.index);
      return tell_drawer();
    case "tuning":
      program._tapes_tuning(ask.concert_a_hz);
      return tell_drawer();
    case "sounds":
      program._tapes_sounds(ask.like);
      return tell_drawer();
    case "failed":
      with_texts([ask.platform, ask.agent], (platform, agent) => {
        tell_advice(program._tapes_failed(ask.fault, platform, agent, ask.touch_points));
        return 0;
      });
      break;
    case "interrupted":
      return tell_advice(program._tapes_interrupted(ask.what));
  }
  return undefined;
}

onmessage = async (/** @type {MessageEvent<TapesAsk>} */ { data }) => {
  try {
    await ready;
    answer(data);
  } catch (error) {
    tell({ broke: String(error) });
  }
};
