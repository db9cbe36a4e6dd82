// The concert pitch that the program finds in music (core/tapes/pitch), beside what a library of music analysis that others
// wrote for other ends finds in the same sound: Essentia, of its spectral peaks, whitened, the pitch class profile at a cent a
// bin. On recordings that Debian packages carry the two agree; on pieces made here, whose tuning is known, both are right.
// Recordings are nearly all tuned to 440 Hz: each is told at another sample rate here, so that its A lies elsewhere.
// Prints "ok NAME" or "not ok NAME" for each check. Usage: node tests/tuning_peer.mjs [PROGRAM] [--figures] [RECORDING]...
import { execFile, execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { check, exit_code } from "./listed_check.mjs";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const [program = ["units", "native"].map((preset) => join(root, "build", preset, "four76")).find(existsSync), ...more] = process.argv.slice(2);
const figures = more.includes("--figures"), asked = more.filter((word) => word !== "--figures");

// Beside these the library's other files ask for a page. It takes every fault for its own, and prints all of itself.
const require = createRequire(import.meta.url);
const library = require("essentia.js/dist/essentia-wasm.umd.js");
const Essentia = require("essentia.js/dist/essentia.js-core.umd.js");
for (const event of ["uncaughtException", "unhandledRejection"]) process.removeAllListeners(event);
const essentia = new Essentia(library);

const kPackages = ["/usr/share/games/tumiki-fighters/sounds", "/usr/share/games/amoebax/music"];
const kSeconds = 40;
// Seen by test on recordings of some thirty packages: sources.md#concert-pitch-by-another-library.
const kAgree_cents = 7.0, kMostlyAgree_cents = 2.5, kMedian_cents = 2.0;
const kLeastRead = 10; // of the fifteen recordings; the notes of the others lie on no one scale for long, and the program tells no pitch
// On exact tunings the library's own bins are a cent.
const kRight_cents = 1.0;
const kNoReading = 4;

const a_semitone = (cents) => cents - 100 * Math.round(cents / 100);
const cents_of = (hz) => a_semitone(1200 * Math.log2(hz / 440));
const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const folder = mkdtempSync(join(tmpdir(), "four76_tuning_"));
process.on("exit", () => rmSync(folder, { recursive: true }));

// ---- Sound -----------------------------------------------------------------------------------------------------------

function write_wav(path, sound, rate) {
  const bytes = Buffer.alloc(44 + 2 * sound.length);
  bytes.write("RIFF", 0);
  bytes.writeUInt32LE(36 + 2 * sound.length, 4);
  bytes.write("WAVEfmt ", 8);
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt32LE(0x00010001, 20); // integers, one channel
  bytes.writeUInt32LE(rate, 24);
  bytes.writeUInt32LE(2 * rate, 28);
  bytes.writeUInt32LE(0x00100002, 32); // two bytes a frame, sixteen bits
  bytes.write("data", 36);
  bytes.writeUInt32LE(2 * sound.length, 40);
  for (let i = 0; i < sound.length; ++i) bytes.writeInt16LE(Math.round(32767 * Math.max(-1, Math.min(1, sound[i]))), 44 + 2 * i);
  writeFileSync(path, bytes);
}

// Its beginning, mixed to one channel.
function decoded(path) {
  const wav = join(folder, "decoded.wav");
  execFileSync("sndfile-convert", ["-pcm16", path, wav], { stdio: ["ignore", "ignore", "pipe"] });
  const bytes = readFileSync(wav);
  const chunk = (name) => {
    let at = 12;
    while (bytes.toString("latin1", at, at + 4) !== name) at += 8 + bytes.readUInt32LE(at + 4) + (bytes.readUInt32LE(at + 4) & 1);
    return bytes.subarray(at + 8, at + 8 + bytes.readUInt32LE(at + 4));
  };
  const format = chunk("fmt "), data = chunk("data");
  const channels = format.readUInt16LE(2), rate = format.readUInt32LE(4);
  const sound = new Float32Array(Math.min(kSeconds * rate, Math.floor(data.length / (2 * channels))));
  for (let i = 0; i < sound.length; ++i)
    for (let c = 0; c < channels; ++c) sound[i] += data.readInt16LE(2 * (i * channels + c)) / (32768 * channels);
  return { sound, rate };
}

function random_numbers(seed) {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

// Chords, a bass and a tune of plucked notes with eight harmonics each, all equally tempered, with a drum on each beat.
function made_piece(a_hz, seed, rate = 44100, seconds = 20) {
  const random = random_numbers(seed);
  const sound = new Float32Array(seconds * rate);
  const note = (begin_s, length_s, semitones, level) => {
    const fundamental = a_hz * 2 ** (semitones / 12), from = Math.round(begin_s * rate), count = Math.min(Math.round(length_s * rate), sound.length - from);
    for (let h = 1; h <= 8; ++h) {
      // A decaying sine: each sample is the one before, turned and shrunk.
      const step = (2 * Math.PI * fundamental * h) / rate, phase = 2 * Math.PI * random(), shrink = Math.exp((-1.5 * Math.sqrt(h)) / rate);
      const turn = [shrink * Math.cos(step), shrink * Math.sin(step)];
      let x = (level / h) * Math.cos(phase), y = (level / h) * Math.sin(phase);
      for (let i = 0; i < count; ++i) {
        sound[from + i] += Math.min(1, i / 200, (count - i) / 800) * y;
        [x, y] = [turn[0] * x - turn[1] * y, turn[1] * x + turn[0] * y];
      }
    }
  };
  const kChords = [[0, 4, 7], [5, 9, 12], [7, 11, 14], [-3, 0, 4], [2, 5, 9]], kScale = [0, 2, 4, 5, 7, 9, 11, 12];
  const key = Math.floor(12 * random()) - 21; // from the C below middle C on
  for (let s = 0; s < seconds; ++s) {
    const chord = kChords[Math.floor(kChords.length * random())];
    for (const above of chord) note(s, 1, key + 12 + above, 0.06);
    note(s, 1, key + chord[0], 0.1);
    for (const half of [0, 0.5]) note(s + half, 0.5, key + 24 + kScale[Math.floor(kScale.length * random())], 0.08);
    for (let i = 0; i < rate / 8; ++i) sound[s * rate + i] += 0.15 * Math.exp((-40 * i) / rate) * (random() - 0.5);
  }
  for (let i = 0; i < sound.length; ++i) sound[i] += 0.004 * (random() - 0.5);
  return { sound, rate };
}

// ---- The two ---------------------------------------------------------------------------------------------------------

// Status 4 is a tape whose notes tell no speed, which may tell the pitch all the same.
function by_program({ sound, rate }) {
  const wav = join(folder, "piece.wav");
  write_wav(wav, sound, rate);
  return new Promise((done, failed) => {
    execFile(program, ["tape", wav, "--json"], (error, stdout) => {
      if (error && error.code !== kNoReading) return void failed(error);
      const found = JSON.parse(stdout).tapes[0].evidence.find(({ kind }) => kind === "concert_pitch");
      return void done(found && cents_of(found.measured_hz));
    });
  });
}

// The peak of the profile folded to one semitone. What lies below 130 Hz is resolved to some ten cents by a frame.
const kFrame = 16384, kStep = 12288, kLowest_hz = 130, kHighest_hz = 5000, kMostPeaks = 100;
const kSilent = 1e-4;
// Squared cosines of 40 cents about each peak; each frame counts alike.
function by_library({ sound, rate }) {
  const by_cent = new Float64Array(100);
  for (let at = 0; at + kFrame <= sound.length; at += kStep) {
    const frame = sound.subarray(at, at + kFrame);
    if (frame.every((sample) => Math.abs(sample) < kSilent)) continue;
    const kept = [];
    const keep = (vector) => kept[kept.push(vector) - 1];
    const windowed = keep(essentia.Windowing(keep(essentia.arrayToVector(frame)), true, kFrame, "blackmanharris62", 0, false).frame);
    const spectrum = keep(essentia.Spectrum(windowed, kFrame).spectrum);
    const { frequencies, magnitudes } = essentia.SpectralPeaks(spectrum, 1e-6, kHighest_hz, kMostPeaks, kLowest_hz, "magnitude", rate);
    for (const vector of [frequencies, magnitudes]) keep(vector);
    if (frequencies.size() > 0) {
      const whitened = keep(essentia.SpectralWhitening(spectrum, frequencies, magnitudes, kHighest_hz, rate).magnitudes);
      const { hpcp } = essentia.HPCP(frequencies, whitened, false, 500, 0, kHighest_hz, false, kLowest_hz, false, "unitSum", 440, rate, 1200, "squaredCosine", 0.4);
      essentia.vectorToArray(keep(hpcp)).forEach((share, cent) => { by_cent[cent % 100] += Number.isFinite(share) ? share : 0; });
    }
    for (const vector of kept) vector.delete();
  }
  const top = by_cent.indexOf(Math.max(...by_cent));
  const [below, height, above] = [99, 0, 1].map((step) => by_cent[(top + step) % 100]);
  return a_semitone(top + (0.5 * (below - above)) / (below - 2 * height + above));
}

// At the same time.
async function by_both(piece) {
  const running = by_program(piece);
  const library_cents = by_library(piece);
  return [["the program", await running], ["the library", library_cents]];
}

// ---- Pieces made here ------------------------------------------------------------------------------------------------

for (const [i, a_hz] of [431, 436.3, 440, 445.1, 452].entries()) {
  for (const [who, found] of await by_both(made_piece(a_hz, 76 + i))) {
    const off = found === undefined ? undefined : a_semitone(found - cents_of(a_hz));
    if (figures) console.log(`# A = ${a_hz} Hz, ${who}: ${off?.toFixed(2)} cents off`);
    check(`${who} finds A = ${a_hz} Hz in a piece made so`, off !== undefined && Math.abs(off) < kRight_cents ? [] : [`${off?.toFixed(2)} cents off`]);
  }
}

// ---- Recordings ------------------------------------------------------------------------------------------------------

const recordings = asked.length > 0 ? asked : kPackages.flatMap((of) => readdirSync(of).filter((name) => name.endsWith(".ogg")).sort().map((name) => join(of, name)));
const apart = [];
for (const [i, path] of recordings.entries()) {
  const { sound, rate } = decoded(path);
  const [[, program_cents], [, library_cents]] = await by_both({ sound, rate: Math.round(rate * 2 ** ((((i * 37) % 100) - 50) / 1200)) });
  if (program_cents === undefined) continue;
  const off = a_semitone(program_cents - library_cents);
  apart.push(Math.abs(off));
  if (figures) console.log(`# ${basename(path)}: program ${program_cents.toFixed(2)}, library ${library_cents.toFixed(2)}, apart ${off.toFixed(2)}`);
  check(`program and library agree on ${basename(path, ".ogg")}`, Math.abs(off) < kAgree_cents ? [] : [`program ${program_cents.toFixed(2)}, library ${library_cents.toFixed(2)} cents from 440 Hz`]);
}
check(`${apart.length} of ${recordings.length} recordings are read`, apart.length >= kLeastRead ? [] : [`fewer than ${kLeastRead}`]);
const near = apart.filter((off) => off < kMostlyAgree_cents).length, half = median(apart);
check(`three of four recordings agree within ${kMostlyAgree_cents} cents (${near} of ${apart.length})`, near >= 0.75 * apart.length ? [] : [apart.map((off) => off.toFixed(1)).join(" ")]);
check(`half of the recordings agree within ${kMedian_cents} cents (${half?.toFixed(2)})`, half < kMedian_cents ? [] : [`${half}`]);

process.exit(exit_code());
