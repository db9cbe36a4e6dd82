// Music made note by note, as a function of the song's own time, so that a tape of it may run at any speed: chords, a
// melody that does not come again, a bass and a drum.
import { noise } from "./sound.mjs";

function random(seed) {
  let state = (seed * 2654435761) >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state / 2 ** 32;
  };
}

const kScale = [0, 2, 4, 5, 7, 9, 11];
const hz_of = (degree, octave) => 110 * 2 ** (octave + kScale[((degree % 7) + 7) % 7] / 12);

// A list of notes: {from_s, length_s, hz, loud, fall_s, partials: [[ratio, share], ...]}.
export function compose({ seconds, seed = 1 }) {
  const next = random(seed);
  const notes = [];
  const harmonics = () => [1, 2, 3, 4, 5, 6].map((n) => [n, 0.9 ** n * (0.4 + 0.6 * next()) / n]);
  for (let from_s = 0; from_s < seconds; ) {
    const length_s = 0.9 + 0.7 * next();
    const root = Math.floor(7 * next());
    for (const step of [0, 2, 4]) notes.push({ from_s, length_s, hz: hz_of(root + step, 1 + Math.floor((root + step) / 7)), loud: 0.1, fall_s: 1.2, partials: harmonics() });
    notes.push({ from_s, length_s, hz: hz_of(root, 0), loud: 0.2, fall_s: 0.8, partials: harmonics() });
    from_s += length_s;
  }
  for (let from_s = 0; from_s < seconds; ) {
    const length_s = [0.15, 0.2, 0.3, 0.45][Math.floor(4 * next())] * (0.97 + 0.06 * next());
    notes.push({ from_s, length_s, hz: hz_of(Math.floor(14 * next()), 2 + Math.floor(2 * next())), loud: 0.16, fall_s: 0.35, partials: harmonics() });
    from_s += length_s;
  }
  for (let from_s = 0; from_s < seconds; from_s += 0.3 + 0.3 * next()) {
    const ring = Array.from({ length: 14 }, () => [0.6 + 24 * next(), 0.25]); // a drum's tones are no harmonics
    notes.push({ from_s, length_s: 0.12, hz: 160, loud: 0.25, fall_s: 0.035, partials: ring });
  }
  return notes.sort((a, b) => a.from_s - b.from_s);
}

// What is heard of the notes: a recording, or a tape that begins from_s into the song, runs at `speed` times the right
// one and has some hiss. `speeds` gives turns of the trimmer: [at tape second, speed] pairs after the first one. To make a
// minute takes seconds, in which nothing else goes on: what was made once is handed out again.
const made = new WeakMap(); // notes -> Map of how -> sound
export function perform(notes, how) {
  if (!made.has(notes)) made.set(notes, new Map());
  const sounds = made.get(notes);
  const key = JSON.stringify(how);
  if (!sounds.has(key)) sounds.set(key, play(notes, how));
  return sounds.get(key);
}

function play(notes, { seconds, rate_hz = 44100, from_s = 0, speed = 1, speeds = [], hiss = 0, level = 1, seed = 1 }) {
  const frames = Math.round(seconds * rate_hz);
  const place = new Float64Array(frames); // of each sample in the song
  let now_s = from_s;
  const turns = [...speeds];
  let runs = speed;
  for (let i = 0; i < frames; ++i) {
    if (turns.length > 0 && i / rate_hz >= turns[0][0]) runs = turns.shift()[1];
    place[i] = now_s;
    now_s += runs / rate_hz;
  }
  const sound = hiss > 0 ? noise(frames, seed).map((value) => hiss * value) : new Float64Array(frames);
  for (const { from_s: begins, length_s, hz, loud, fall_s, partials } of notes) {
    const ends = begins + length_s + 0.05;
    if (ends < place[0] || begins > place[frames - 1]) continue;
    const first = lower(place, begins);
    for (const [ratio, share] of partials) {
      const w = 2 * Math.PI * hz * ratio;
      if (hz * ratio > 6000) continue;
      for (let i = first; i < frames && place[i] < ends; ++i) {
        const t = place[i] - begins;
        const edge = Math.min(1, t / 0.004) * Math.min(1, (ends - place[i]) / 0.05);
        sound[i] += level * loud * share * edge * Math.exp(-t / fall_s) * Math.sin(w * t);
      }
    }
  }
  return sound;
}

function lower(sorted, value) {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}
