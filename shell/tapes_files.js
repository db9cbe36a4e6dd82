// Recordings of tapes, decoded by the browser and handed on a stretch at a time.
import { tr } from "./words.js";

const kRateHz = 48000;             // a television's whistle lies at 15.6 kHz
const kEnoughBytes = 20e6;         // minutes of any kind; half a minute is asked for
const kLargestBytes = 60e6;        // of those that cannot be read from their beginning alone
const kStretchFrames = 1 << 16;
const kStretchesAtOnce = 16;       // on their way to the Worker

/** @typedef {{rate_hz: number, channels: number}} Sound */

/** @param {Blob} part @returns {Promise<AudioBuffer | undefined>} */
async function decoded_from(part) {
  try {
    return await new OfflineAudioContext(1, 1, kRateHz).decodeAudioData(await part.arrayBuffer());
  } catch {
    return undefined;
  }
}
/** @param {File} file */
async function decode(file) {
  if (file.size === 0) throw new Error(tr("{0} is empty.", file.name));
  const begun = await decoded_from(file.slice(0, kEnoughBytes));
  if (begun) return begun;
  if (file.size > kLargestBytes) {
    throw new Error(tr("{0} is too large to be decoded here ({1} MB). Cut it, or save it as WAV.", file.name, Math.round(file.size / 1e6)));
  }
  const whole = file.size > kEnoughBytes ? await decoded_from(file) : undefined;
  if (!whole) throw new Error(tr("{0} is not a recording that this browser can read.", file.name));
  return whole;
}

// Calls `open`, then `sound` with interleaved samples, and now and then waits for `taken`. Throws what is wrong, in words.
/**
 * @param {File} file
 * @param {{open(of: Sound): void, sound(samples: Float32Array<ArrayBuffer>): void, taken(): Promise<void>}} to
 */
export async function read_recording(file, { open, sound, taken }) {
  const decoded = await decode(file);
  const channels = Math.min(2, decoded.numberOfChannels);
  open({ rate_hz: decoded.sampleRate, channels });
  const parts = Array.from({ length: channels }, (_, i) => decoded.getChannelData(i));
  for (let first = 0; first < decoded.length; first += kStretchFrames) {
    const frames = Math.min(kStretchFrames, decoded.length - first);
    const samples = new Float32Array(frames * channels);
    parts.forEach((part, channel) => {
      for (let i = 0; i < frames; ++i) samples[i * channels + channel] = part[first + i];
    });
    sound(samples);
    if ((first / kStretchFrames) % kStretchesAtOnce === kStretchesAtOnce - 1) await taken();
  }
  await taken();
}
