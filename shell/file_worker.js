// Measures one recording over the same wasm as the page, without a drawing (web/platform/worker.cpp). One job, then it is ended. Of
// the song bench it reads a reference, or reads a tape and holds it against one.
/** @import {Address, DecodedFile, FileJob, FileNews, FileSound, FileTask, WorkerModule} from "./types" */
importScripts("four76.js");

const kSliceFrames = 1 << 18;
const kHeads = [1 << 16, 1 << 20, 1 << 24]; // bytes that a WAV's head may take, as far as one looks

const kReadingShare = 0.3; // of the work on a tape; holding it against the reference is the rest

/** @type {WorkerModule} */
let program;
/** @type {FileTask["song"]} */
let song; // nothing for a tone
/** @type {FileTask["reference"]} */
let reference; // samples to hold a tape against

/** @param {FileNews} news @param {Transferable[]} [handed_over] */
function tell(news, handed_over = []) {
  postMessage(news, handed_over);
}

/** @param {Address} address */
function text_at(address) {
  return address ? program.UTF8ToString(address) : undefined;
}

/** @param {string} fault */
function fail(fault) {
  tell({ fault });
}

/** @param {number} done @param {number} frames */
function tell_reading(done, frames) {
  tell({ fraction: (song === "tape" ? kReadingShare : 1) * (done / frames) });
}

/** @param {Address} address @param {ArrayBuffer | Uint8Array} bytes */
function put_bytes(address, bytes) {
  program.HEAPU8.set(new Uint8Array(bytes), address);
}

/** @param {File} file */
async function open_wav(file) {
  for (const size of kHeads) {
    const head = await file.slice(0, size).arrayBuffer();
    put_bytes(program._file_bytes(head.byteLength), head);
    const more = program._file_open_wav(head.byteLength, file.size);
    if (more && file.size > size && size !== kHeads.at(-1)) continue; // the sound lies beyond this head
    return text_at(program._file_fault());
  }
  return undefined;
}

/** @param {File} file @param {FileTask} task */
async function measure_wav(file, { nominal_hz, sure = 0, near_hz = 0 }) {
  const fault = (await open_wav(file)) ?? text_at(song ? program._file_begin_song_wav(song === "tape" ? 1 : 0) : program._file_begin_wav(nominal_hz, sure, near_hz));
  if (fault) return fail(fault);
  const frames = song ? Math.floor(program._file_song_frames()) : program._file_wav_frames();
  const frame_bytes = program._file_wav_frame_bytes();
  const start = program._file_wav_offset();
  for (let done = 0; done < frames; ) {
    const count = Math.min(kSliceFrames, frames - done);
    const from = start + done * frame_bytes;
    const bytes = await file.slice(from, from + count * frame_bytes).arrayBuffer();
    put_bytes(program._file_bytes(bytes.byteLength), bytes);
    program._file_process_wav(bytes.byteLength);
    done += count;
    tell_reading(done, frames);
  }
  return finish();
}

// ---- Decoded sound comes in stretches, each asked for ----------------------------------------------------------------
let decoded = { frames: 0, done: 0 };

/** @param {DecodedFile & FileTask} job */
function begin_decoded({ rate_hz, channels, frames, nominal_hz, sure = 0, near_hz = 0 }) {
  const fault = text_at(song ? program._file_begin_song(rate_hz, channels, frames, song === "tape" ? 1 : 0) : program._file_begin(rate_hz, channels, nominal_hz, sure, near_hz));
  if (fault) return fail(fault);
  decoded = { frames: song ? program._file_song_frames() : frames, done: 0 };
  return want_more();
}
function want_more() {
  const frames = Math.min(kSliceFrames, Math.floor(decoded.frames - decoded.done));
  if (frames === 0) return finish();
  tell({ want: { first: decoded.done, frames } });
  tell_reading(decoded.done, decoded.frames);
  return undefined;
}
/** @param {Float32Array[]} channels */
function take_decoded(channels) {
  const frames = channels[0].length;
  const first = program._file_buffer(frames) >> 2;
  channels.forEach((samples, channel) => {
    for (let i = 0; i < frames; ++i) program.HEAPF32[first + i * channels.length + channel] = samples[i];
  });
  program._file_process(frames);
  decoded.done += frames;
  want_more();
}

function finish() {
  if (song) finish_song();
  else finish_tone();
}
function finish_tone() {
  const size = program._file_finish();
  const address = program._file_result();
  const snapshot = program.HEAPU8.slice(address, address + size);
  tell({ snapshot }, [snapshot.buffer]);
}

function finish_song() {
  const fault = text_at(program._file_song_fault());
  if (fault) return fail(fault);
  if (song === "reference") {
    const first = program._file_song_samples() >> 2;
    const samples = program.HEAPF32.slice(first, first + program._file_song_size());
    return tell({ samples }, [samples.buffer]);
  }
  if (!reference) throw new Error("a tape without its reference");
  const first = program._file_song_reference(reference.length) >> 2; // the memory may grow and be another one
  program.HEAPF32.set(reference, first);
  reference = undefined;
  const size = program._file_song_match();
  const address = program._file_result();
  const match = program.HEAPU8.slice(address, address + size);
  return tell({ match }, [match.buffer]);
}

/** @param {FileJob | FileSound} message */
async function take(message) {
  if ("sound" in message) return take_decoded(message.sound);
  ({ song, reference } = message);
  const progress = (/** @type {number} */ done) => tell({ fraction: kReadingShare + (1 - kReadingShare) * done });
  program = /** @type {WorkerModule} */ ({ noInitialRun: true, locateFile: (name) => name, progress });
  await createFour76(program);
  const catalogue = new TextEncoder().encode(message.catalogue);
  put_bytes(program._file_bytes(catalogue.length), catalogue);
  program._file_language(catalogue.length);
  return "wav" in message ? measure_wav(message.wav, message) : begin_decoded(message);
}

onmessage = (/** @type {MessageEvent<FileJob | FileSound>} */ { data }) =>
  take(data).catch(({ message }) => tell({ broke: message }));
