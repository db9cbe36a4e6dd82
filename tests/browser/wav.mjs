// WAV and FLAC files as Buffers, from an array of channels (see sound.mjs).

const kFormats = { 16: 1, 24: 1, 32: 3 }; // PCM; 32 bits are float here

// `claims` writes other numbers into the header than the sound has, for files that lie.
export function wav(channels, rate_hz, { bits = 16, claims = {} } = {}) {
  const bytes = bits / 8;
  const count = claims.channels ?? channels.length;
  const frames = channels[0].length;
  const data = Buffer.alloc(frames * channels.length * bytes);
  channels.forEach((samples, channel) => {
    for (let i = 0; i < frames; ++i) put(data, (i * channels.length + channel) * bytes, samples[i], bits);
  });
  const head = Buffer.alloc(44);
  const data_bytes = claims.data_bytes ?? data.length;
  head.write("RIFF", 0, "latin1");
  head.writeUInt32LE(36 + data_bytes, 4);
  head.write("WAVEfmt ", 8, "latin1");
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(kFormats[bits], 20);
  head.writeUInt16LE(count, 22);
  head.writeUInt32LE(rate_hz, 24);
  head.writeUInt32LE(rate_hz * count * bytes, 28);
  head.writeUInt16LE(count * bytes, 32);
  head.writeUInt16LE(bits, 34);
  head.write("data", 36, "latin1");
  head.writeUInt32LE(data_bytes, 40);
  return Buffer.concat([head, data]);
}

function put(data, at, value, bits) {
  if (bits === 32) data.writeFloatLE(value, at);
  else data.writeIntLE(whole(value, bits), at, bits / 8);
}

function whole(value, bits) {
  const full = 2 ** (bits - 1);
  return Math.max(-full, Math.min(full - 1, Math.round(value * full)));
}

// FLAC (RFC 9639), 16 bits, every subframe "verbatim": the samples as they are, which needs no predictor.
const kBlockFrames = 4096;

export function flac(channels, rate_hz) {
  const frames = channels[0].length;
  const info = Buffer.alloc(34); // no sizes of frames and no checksum: zeros mean unknown
  info.writeUInt16BE(kBlockFrames, 0);
  info.writeUInt16BE(kBlockFrames, 2);
  // 20 bits sample rate, 3 channels - 1, 5 bits - 1, 36 frames.
  info.writeBigUInt64BE((BigInt(rate_hz) << 44n) | (BigInt(channels.length - 1) << 41n) | (15n << 36n) | BigInt(frames), 10);
  const parts = [Buffer.from("fLaC", "latin1"), Buffer.from([0x80, 0, 0, info.length]), info];
  for (let first = 0, number = 0; first < frames; first += kBlockFrames, ++number) {
    parts.push(flac_frame(channels.map((samples) => samples.slice(first, first + kBlockFrames)), number));
  }
  return Buffer.concat(parts);
}

function flac_frame(channels, number) {
  const frames = channels[0].length;
  const utf8 = Buffer.from(String.fromCodePoint(number), "utf8"); // frame numbers are coded as UTF-8 codes characters
  // Sync and fixed blocks; block size in 16 bits, rate from the stream's head; channels; 16 bits a sample.
  const head = Buffer.concat([Buffer.from([0xff, 0xf8, 0x70, ((channels.length - 1) << 4) | 0x08]), utf8, Buffer.from([(frames - 1) >> 8, (frames - 1) & 255])]);
  const parts = [head, Buffer.from([remainder(head, 8, 0x07)])];
  for (const samples of channels) {
    const subframe = Buffer.alloc(1 + 2 * frames);
    subframe[0] = 0x02; // verbatim, no wasted bits
    samples.forEach((value, i) => subframe.writeInt16BE(whole(value, 16), 1 + 2 * i));
    parts.push(subframe);
  }
  const body = Buffer.concat(parts);
  const check = remainder(body, 16, 0x8005);
  return Buffer.concat([body, Buffer.from([check >> 8, check & 255])]);
}

// Cyclic redundancy check, most significant bit first, starting from 0.
function remainder(bytes, width, polynomial) {
  const top = 1 << (width - 1);
  const mask = 2 ** width - 1;
  let rest = 0;
  for (const byte of bytes) {
    rest ^= byte << (width - 8);
    for (let bit = 0; bit < 8; ++bit) rest = (rest & top ? (rest << 1) ^ polynomial : rest << 1) & mask;
  }
  return rest;
}
