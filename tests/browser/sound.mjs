// Sounds for the fake microphone and for files, made sample by sample: an array of channels, each a Float64Array.
// Tones, wow and noise fit a whole number of times into the sound, so that it repeats without a seam.

export const kMicrophoneHz = 44100; // the rate of Chromium's fake microphone

// Uniform in 0 to 1, the same for the same seed (a Weyl sequence through two rounds of multiply and shift).
function random(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return ((mixed ^ (mixed >>> 15)) >>> 0) / 2 ** 32;
  };
}

// Gaussian, standard deviation 1 (Box and Muller 1958).
export function noise(frames, seed) {
  const next = random(seed);
  return Float64Array.from({ length: frames }, () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()));
}

export function amplitude(dbfs) {
  return 10 ** (dbfs / 20);
}

// A tone of exactly hz on average; wow is [rate_hz, peak_percent] pairs. Noise is given by its density, as C/N0 is.
//   speed = hz (1 + sum p sin 2 pi r t), so phase = 2 pi hz (t - sum p / (2 pi r) cos 2 pi r t)
// A turn of the trimmer adds so many percent of speed about a moment, so that the tone ends at hz:
//   speed = hz (1 + p (tanh((t - t0) / w) - 1) / 2), phase = 2 pi hz (t + p (w ln cosh((t - t0) / w) - t) / 2)
export function tone({ hz, seconds = 10, rate_hz = kMicrophoneHz, level_dbfs = -18, wow = [], turn, carrier_to_noise_dbhz = 75, seed = 1 }) {
  const frames = Math.round(seconds * rate_hz);
  const peak = amplitude(level_dbfs);
  const noise_rms = Math.sqrt(((peak * peak) / 2 / 10 ** (carrier_to_noise_dbhz / 10)) * (rate_hz / 2));
  const hiss = noise(frames, seed);
  return Float64Array.from({ length: frames }, (_, i) => {
    const t = i / rate_hz;
    let time_on_tape = t;
    for (const [turns_hz, percent] of wow) time_on_tape -= (percent / 100 / (2 * Math.PI * turns_hz)) * Math.cos(2 * Math.PI * turns_hz * t);
    if (turn) time_on_tape += (turn.percent / 200) * (turn.over_s * Math.log(Math.cosh((t - turn.at_s) / turn.over_s)) - t);
    return peak * Math.sin(2 * Math.PI * hz * time_on_tape) + noise_rms * hiss[i];
  });
}

// Something like speech: a gliding buzz through three resonances, in syllables with pauses, and hissed consonants.
export function voice({ seconds = 10, rate_hz = kMicrophoneHz, seed = 5 }) {
  const frames = Math.round(seconds * rate_hz);
  const hiss = noise(frames, seed);
  const next = random(seed + 1);
  const sound = new Float64Array(frames);
  let resonances = [];
  let pitch_phase = 0;
  let syllable_end = 0;
  let syllable = { from: 0, length: 1, hz: 120, glide: 0, loud: 0, breath: 0 };
  for (let i = 0; i < frames; ++i) {
    if (i >= syllable_end) {
      const length = Math.round((0.12 + 0.2 * next()) * rate_hz);
      syllable = { from: i, length, hz: 95 + 90 * next(), glide: 0.3 * (next() - 0.5), loud: next() < 0.2 ? 0 : 1, breath: next() < 0.3 ? 0.12 : 0.01 };
      syllable_end = i + length;
      const mouths = [350 + 500 * next(), 900 + 1400 * next(), 2400 + 1000 * next()];
      resonances = mouths.map((hz, n) => resonator(hz, 60 + 60 * n, rate_hz, resonances[n]));
    }
    const through = (i - syllable.from) / syllable.length;
    pitch_phase += (syllable.hz * (1 + syllable.glide * through)) / rate_hz;
    const buzz = pitch_phase >= 1 ? 1 : 0;
    pitch_phase -= buzz;
    const driven = syllable.loud * Math.sin(Math.PI * through) * (buzz + syllable.breath * hiss[i]);
    sound[i] = resonances.reduce((sum, pass) => sum + pass(driven), 0) + 1e-4 * hiss[i];
  }
  const loudest = sound.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return sound.map((value) => (0.5 * value) / loudest);
}

// Two poles: y = g x + 2 r cos(w) y1 - r^2 y2.
function resonator(hz, width_hz, rate_hz, before) {
  const r = Math.exp((-Math.PI * width_hz) / rate_hz);
  const first = 2 * r * Math.cos((2 * Math.PI * hz) / rate_hz);
  const memory = before?.memory ?? [0, 0];
  const pass = (x) => {
    const y = (1 - r) * x + first * memory[0] - r * r * memory[1];
    memory[1] = memory[0];
    memory[0] = y;
    return y;
  };
  pass.memory = memory;
  return pass;
}
