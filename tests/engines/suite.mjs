// The suite: what every engine does with the same sound.
import { check, mean, near, none, number, same } from "../browser/check.mjs";
import { compose, perform } from "../browser/music.mjs";
import { tone } from "../browser/sound.mjs";
import { wav } from "../browser/wav.mjs";
import { kRigHz } from "./pulse_rig.mjs";

const kClose_percent = 0.05;
const kCalm_percent = 0.02; // of u95: then one reading in a million is off by kClose_percent
const kThreeSigma = 1.5; // of u95, which is 1.96 sigma: 3 readings of 1000 are farther off
const kPatienceMs = 100_000; // a busy computer loses samples, and each loss begins the waiting anew
const kAfterLossMs = 12_000; // the calm reading rests on 10 s, and is told a little later

// A tone so many percent fast, of a machine that wavers and hisses. It repeats without a seam: see sound.mjs.
const kSound_s = 20;
function machine({ nominal_hz, percent, seed = 1 }) {
  const hz = Math.round(nominal_hz * (1 + percent / 100) * kSound_s) / kSound_s;
  const sound = tone({ hz, seconds: kSound_s, rate_hz: kRigHz, wow: [[7.6, 0.05], [1.3, 0.03]], carrier_to_noise_dbhz: 68, seed });
  return { percent: 100 * (hz / nominal_hz - 1), sound };
}
// A reading is calm once it has heard some turns of the wow, and knows it.
const is_calm = ({ status, u95_percent }) => status === "measured" && u95_percent !== "" && number(u95_percent) < kCalm_percent;
const calm_reading = (page) => page.until("a calm reading", ({ reading }) => is_calm(reading), kPatienceMs);
const words_of = (reading, percent) => `${number(reading.speed_error_percent).toFixed(4)} ±${number(reading.u95_percent).toFixed(4)} % for ${percent.toFixed(4)} %`;

// Readings that are not calm any more although the page said of no lost sound shortly before: real capture on a busy
// computer loses some, and then the page has to say so itself.
function without_cause(rows) {
  let lost_ms = -Infinity;
  return rows.filter((row) => {
    if (row.reasons.split(" ").includes("capture_gap")) lost_ms = row.at_ms;
    return !is_calm(row) && row.at_ms > lost_ms + kAfterLossMs;
  }).map((row) => `${row.status} ${row.speed_error_percent} ±${row.u95_percent} ${row.reasons}`);
}

// ---- A tone --------------------------------------------------------------------------------------------------------

async function measures_a_tone(bench) {
  const { percent, sound } = machine({ nominal_hz: 3150, percent: 1.3 });
  bench.play([sound]);
  const { page } = await bench.open();
  await page.choose("tone", "3150");
  await page.listen();
  await calm_reading(page);
  const { rows } = await page.watch_readings(5000);
  none(without_cause(rows), "not calm, though no sound was lost");
  const calm = rows.filter(is_calm);
  check(calm.length > 0, `none of ${rows.length} readings was calm: ${JSON.stringify(rows.at(-1))}`);
  const error = (row) => number(row.speed_error_percent) - percent;
  none(calm.filter((row) => Math.abs(error(row)) >= kClose_percent).map((row) => row.speed_error_percent), `off by ${kClose_percent} % and more`);
  const inside = calm.filter((row) => Math.abs(error(row)) <= number(row.u95_percent));
  const far = calm.filter((row) => Math.abs(error(row)) > kThreeSigma * number(row.u95_percent));
  none(far.map((row) => words_of(row, percent)), "off by more than three sigma");
  bench.note(`${words_of(calm.at(-1), percent)}, mean ${mean(calm.map(error)).toFixed(4)} % off, ${inside.length} of ${calm.length} within u95, ${rows.length - calm.length} of ${rows.length} not calm after a loss`);
}

// ---- Two channels --------------------------------------------------------------------------------------------------

async function reads_both_channels(bench) {
  const left = machine({ nominal_hz: 3000, percent: 1.2, seed: 1 });
  const right = machine({ nominal_hz: 3000, percent: 1, seed: 2 });
  bench.play([left.sound, right.sound]);
  const { page } = await bench.open();
  await page.listen();
  const told = await page.until("both channels and their difference", (now) => now.agree === "false" && is_calm(now.left) && is_calm(now.right), kPatienceMs);
  near(number(told.left.speed_error_percent), left.percent, kClose_percent, "left");
  near(number(told.right.speed_error_percent), right.percent, kClose_percent, "right");
  bench.note(`left ${words_of(told.left, left.percent)}, right ${words_of(told.right, right.percent)}`);
  await page.message(/Left and right do not agree/);
  check(/(left|right) channel$/.test(told.status_line), told.status_line); // not "one channel"
}

// ---- A song --------------------------------------------------------------------------------------------------------

const kSong_s = 70;
const kFileHz = 22_050; // enough for a song, and quickly made
const kTape = { percent: 1.2, from_s: 14, seconds: 50 };
let the_song;
function song() {
  if (the_song) return the_song;
  const notes = compose({ seconds: kSong_s, seed: 3 });
  const tape = perform(notes, { seconds: kTape.seconds, rate_hz: kRigHz, from_s: kTape.from_s, speed: 1 + kTape.percent / 100, hiss: 0.01 });
  return (the_song = { reference: wav([perform(notes, { seconds: kSong_s, rate_hz: kFileHz })], kFileHz), tape });
}

async function follows_a_song(bench) {
  const { reference, tape } = song();
  const { page } = await bench.open();
  await bench.driver.click("#welcome [data-help=have]");
  await bench.driver.click("#have [data-act=act-song]");
  await page.until_seen("#act-song-reference");
  await page.give_file("act-song-reference", bench.file("Summer.wav", reference));
  await page.until_seen("#act-song-listen");
  bench.play([tape], { loop: false });
  await page.press("act-song-listen");
  await page.phase("listening");
  const locked = await page.until("the song to be followed", ({ reading }) => reading.song_state === "following" && reading.status === "measured");
  // A browser that puts in zeros makes the first number rough, and it says so; 1.5 of its u95 fail 3 times in 1000.
  near(number(locked.reading.speed_error_percent), kTape.percent, Math.max(0.1, 1.5 * number(locked.reading.u95_percent)), "first speed error");
  const told = await page.until("a steady speed", ({ reading }) => reading.song_state === "following" && reading.u95_percent !== "" && number(reading.u95_percent) < 0.01);
  near(number(told.reading.speed_error_percent), kTape.percent, 0.02, "speed error");
  bench.note(`locked at ${number(locked.reading.song_position_s).toFixed(1)} s, ${words_of(told.reading, kTape.percent)}`);
}

// ---- A card --------------------------------------------------------------------------------------------------------

const visits = (page, count) =>
  page.until(`${count} visit on the card`, () => page.driver.evaluate((wanted) => document.querySelectorAll("#cards-visits details").length === wanted, count));

async function keeps_a_visit(bench) {
  const { percent, sound } = machine({ nominal_hz: 3000, percent: 1.3 });
  bench.play([sound]);
  const { page } = await bench.open();
  await page.enter("#measure-seconds", "6");
  await page.listen();
  await page.measured();
  await page.press("act-as-found");
  const { messages } = await page.message(/As found: [+\u2212]?\d/);
  near(Number(/As found: \+([\d.]+)/.exec(messages.join())[1]), percent, kClose_percent, "as found");
  await visits(page, 1); // shown once it is stored
  await page.reload();
  await visits(page, 1);
  await bench.driver.click("#open-card");
  const line = await page.text("#cards-visits summary");
  near(Number(/As found.* ([\d.]+) % fast/.exec(line)?.[1]), percent, kClose_percent, line);
  await bench.driver.click("#cards details:has(#cards-save) summary");
  await bench.driver.click("#cards-save");
  let saved;
  await page.until("the cards' file", () => (saved = bench.saved(/^four76-cards-.*\.json$/)));
  same(saved.cards.map(({ visits }) => visits.length), [1], "visits in the file");
  bench.note(line.trim());
}

// ---- Without a server ----------------------------------------------------------------------------------------------

async function works_without_a_server(bench) {
  const { percent, sound } = machine({ nominal_hz: 3000, percent: 1.3 });
  bench.play([sound]);
  const { page, server } = await bench.open();
  await page.until("the page to be kept", () => page.driver.evaluate(() => Boolean(navigator.serviceWorker.controller)));
  await server.stop();
  check(await fetch(server.address).then(() => false, () => true), "the server still answers");
  await page.reload();
  await page.listen();
  const { reading } = await calm_reading(page);
  near(number(reading.speed_error_percent), percent, kClose_percent, "speed error");
  bench.note(words_of(reading, percent));
}

// ---- What an engine cannot do --------------------------------------------------------------------------------------

// Asked of the engine anew: [what it lacks, where and how the page must say so, and only then].
const kSaid = [
  ["webgl2", "#missing", /WebGL 2\./],
  ["serviceWorker", "#cannot", /open without a network/],
  ["persist", "#cannot", /promise to keep cards/],
  ["wakeLock", "#cannot", /keep the screen on/],
  ["vibrate", "#cannot", /vibrate/],
  ["speechSynthesis", "#cannot", /speak/],
  ["share", "#cannot", /share a link/],
  ["channelCount", "#cannot", /how many channels/],
  ["sampleRate", "#cannot", /microphone's sample rate/],
  ["echoCancellation", "#processing", /echo cancellation unknown/],
  ["noiseSuppression", "#processing", /noise suppression unknown/],
  ["autoGainControl", "#processing", /gain control unknown/],
];

async function lacking() {
  const audio = { echoCancellation: false, noiseSuppression: false, autoGainControl: false };
  const stream = await navigator.mediaDevices.getUserMedia({ audio });
  const settings = stream.getAudioTracks()[0].getSettings();
  stream.getTracks().forEach((track) => track.stop());
  const can = {
    webgl2: document.createElement("canvas").getContext("webgl2") !== null,
    serviceWorker: "serviceWorker" in navigator,
    persist: typeof navigator.storage?.persist === "function",
    wakeLock: "wakeLock" in navigator,
    vibrate: "vibrate" in navigator,
    speechSynthesis: "speechSynthesis" in window,
    share: "share" in navigator,
    channelCount: settings.channelCount > 0,
    sampleRate: settings.sampleRate > 0,
    echoCancellation: "echoCancellation" in settings,
    noiseSuppression: "noiseSuppression" in settings,
    autoGainControl: "autoGainControl" in settings,
  };
  return Object.keys(can).filter((what) => !can[what]);
}

async function says_what_it_cannot_do(bench) {
  const { page } = await bench.open();
  await page.listen();
  await page.until("what the browser says of processing", ({ processing }) => processing !== "");
  const lacks = await bench.driver.evaluate(lacking);
  for (const [what, place, words] of kSaid) {
    const text = await page.text(place);
    same(words.test(text), lacks.includes(what), `${what}: "${text}" says that it is lacking`);
  }
  check(await page.seen("#undrawn") === lacks.includes("webgl2"), "the reading as text, where nothing is drawn");
  bench.note(`lacks ${lacks.join(" ") || "nothing"}`);
}

export const cases = [
  ["tone", measures_a_tone],
  ["stereo", reads_both_channels],
  ["song", follows_a_song],
  ["card", keeps_a_visit],
  ["offline", works_without_a_server],
  ["what it cannot do", says_what_it_cannot_do],
];
