// Measures one recording over the same wasm as the page, without a drawing (web/worker.cpp). One job, then it is ended.
importScripts("four76.js");

const kSliceFrames = 1 << 18;
const kHeads = [1 << 16, 1 << 20, 1 << 24]; // bytes that a WAV's head may take, as far as one looks

let program;

function text_at(address) {
  return address ? program.UTF8ToString(address) : undefined;
}

function fail(fault) {
  postMessage({ fault });
}

function put_bytes(address, bytes) {
  program.HEAPU8.set(new Uint8Array(bytes), address);
}

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

async function measure_wav(file, nominal_hz) {
  const fault = (await open_wav(file)) ?? text_at(program._file_begin_wav(nominal_hz));
  if (fault) return fail(fault);
  const frames = program._file_wav_frames();
  const frame_bytes = program._file_wav_frame_bytes();
  const start = program._file_wav_offset();
  for (let done = 0; done < frames; ) {
    const count = Math.min(kSliceFrames, frames - done);
    const from = start + done * frame_bytes;
    const bytes = await file.slice(from, from + count * frame_bytes).arrayBuffer();
    put_bytes(program._file_bytes(bytes.byteLength), bytes);
    program._file_process_wav(bytes.byteLength);
    done += count;
    postMessage({ fraction: done / frames });
  }
  return finish();
}

// ---- Decoded sound comes in stretches, each asked for ----------------------------------------------------------------
let decoded;

function begin_decoded({ rate_hz, channels, frames, nominal_hz }) {
  const fault = text_at(program._file_begin(rate_hz, channels, nominal_hz));
  if (fault) return fail(fault);
  decoded = { frames, done: 0 };
  return want_more();
}
function want_more() {
  const frames = Math.min(kSliceFrames, decoded.frames - decoded.done);
  if (frames === 0) return finish();
  postMessage({ want: { first: decoded.done, frames }, fraction: decoded.done / decoded.frames });
  return undefined;
}
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
  const size = program._file_finish();
  const address = program._file_result();
  const snapshot = program.HEAPU8.slice(address, address + size);
  postMessage({ snapshot }, [snapshot.buffer]);
}

async function take(message) {
  if (message.channels?.length && Array.isArray(message.channels)) return take_decoded(message.channels);
  program = { noInitialRun: true, locateFile: (name) => name };
  await createFour76(program);
  return message.wav ? measure_wav(message.wav, message.nominal_hz) : begin_decoded(message);
}

onmessage = ({ data }) => take(data).catch((error) => fail(`it could not be read (${error.message}).`));
