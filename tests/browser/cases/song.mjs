// The song bench: a song that is also at hand tells a tape's speed, live and as a file; tapes vote.
import { check, near, none, number, same } from "../check.mjs";
import { feed, takes_samples } from "../fed.mjs";
import { compose, perform } from "../music.mjs";
import { noise } from "../sound.mjs";
import { wav } from "../wav.mjs";
import { looks_right } from "./sizes.mjs";

const kSong_s = 70;
const kRate = 22050; // of files: enough for a song, and quickly made
let the_song;
const song = () => (the_song ??= compose({ seconds: kSong_s, seed: 3 }));
const file_of = (house, name, notes, how) => house.file(name, wav([perform(notes, { rate_hz: kRate, ...how })], kRate));
const reference = (house) => file_of(house, "Summer.wav", song(), { seconds: kSong_s });

async function enter(page) {
  if (await page.page.locator("#welcome").isVisible()) {
    await page.page.locator("#welcome [data-help=have]").click();
    await page.page.locator("#have [data-act=act-song]").first().click();
  } else await page.page.evaluate(() => document.getElementById("act-song").click());
  await page.page.locator("#act-song-reference").waitFor();
}
async function choose(page, act, file) {
  const chooser = page.page.waitForEvent("filechooser");
  await page.press(act);
  await (await chooser).setFiles(file);
}
async function with_reference(page, file) {
  await enter(page);
  await choose(page, "act-song-reference", file);
  await page.page.locator("#act-song-listen").waitFor();
}
async function tape_file(page, file, name) {
  await choose(page, "act-song-file", file);
  return page.until(`what ${name} comes to`, (now) => now.phase === "file_shown" && now.status_line.startsWith(name));
}
const followed = (now) => now.reading.song_state === "following" && now.reading.status === "measured";
const follows = (page) => page.until("the song to be followed", followed);

// Sound goes on second by second until the page tells what is waited for: how busy the computer is makes no difference.
const kTold_ms = 300; // the page tells four times a second
async function plays_until(page, fed, what, most_s, test) {
  while ((await fed.seconds()) < most_s) {
    await fed.play(1);
    await page.page.waitForTimeout(kTold_ms);
    const told = await page.told();
    if (test(told)) return told;
  }
  throw new Error(`${what}: not after ${most_s} s of sound; told: ${JSON.stringify(await page.told())}`);
}

// A tape 1.2 % fast from 14 s into the song; its trimmer is turned down to +0.2 % after 22 s. After 40 s it begins again.
async function follows_a_tape(house) {
  const tape = perform(song(), { seconds: 40, from_s: 14, speed: 1.012, speeds: [[22, 1.002]], hiss: 0.01 });
  const page = await house.open_ready({ before: takes_samples });
  await with_reference(page, reference(house));
  await page.press("act-song-listen");
  await page.phase("listening");
  const fed = await feed(page, [tape], { runs: false });
  await plays_until(page, fed, "to listen for the place", 8, (now) => now.reading.song_state === "searching" && /Listening for the place/.test(now.status_line));
  const locked = await plays_until(page, fed, "the song to be followed", 20, followed);
  const took_s = await fed.seconds();
  near(number(locked.reading.speed_error_percent), 1.2, 0.1, "first speed error");
  check(/Locked at 0:\d\d of the song/.test(locked.status_line), locked.status_line);
  const told = await plays_until(page, fed, "a steady speed", 22, (now) => followed(now) && number(now.reading.u95_percent) < 0.01);
  near(number(told.reading.speed_error_percent), 1.2, 0.02, "speed error");
  const turned = await plays_until(page, fed, "the turn to be seen", 38, (now) => followed(now) && Math.abs(number(now.reading.speed_error_percent) - 0.2) < 0.02);
  const place_s = 14 + 22 * 1.012 + ((await fed.seconds()) - 22) * 1.002;
  const position_s = number(turned.reading.song_position_s);
  check(position_s > place_s - 1 && position_s < place_s + 0.2, `place in the song: ${position_s} where the tape is at ${place_s} s`);
  house.note(`locked after ${took_s.toFixed(1)} s of sound, then ${number(told.reading.speed_error_percent).toFixed(4)} %`);
  const lost = await plays_until(page, fed, "the song to be lost where the tape begins again", 60, (now) => now.reading.song_state === "lost");
  check(lost.reading.status !== "measured", `lost, yet ${lost.reading.status}`);
  await plays_until(page, fed, "it to be found again", 78, (now) => now.reading.song_state === "following");
}

async function compares_a_file(house) {
  const page = await house.open_ready();
  await with_reference(page, reference(house));
  const tape = file_of(house, "side A.wav", song(), { seconds: 34, from_s: 20, speed: 0.973, hiss: 0.02 });
  const told = await tape_file(page, tape, "side A.wav");
  same(told.reading.song_status, "matched", "song status");
  same(told.reading.status, "measured", "status");
  near(number(told.reading.speed_error_percent), -2.7, 0.005, "speed error");
  near(number(told.reading.reference_start_s), 20, 0.02, "place");
  check(number(told.reading.matched_fraction) > 0.9, `matched ${told.reading.matched_fraction}`);
  house.note(`${number(told.reading.speed_error_percent).toFixed(4)} ±${told.reading.u95_percent} %`);
  await page.until("the words", (now) => /2\.70+ percent slow/.test(now.words.status) && /of the song/.test(now.words.reference_start_s));
  await page.press("act-stop");
  await page.phase("idle");
  check(await page.page.locator("#act-song-listen").isVisible(), "the reference is forgotten");
}

// A long piece: its samples need more memory than the Worker begins with.
async function compares_with_a_long_song(house) {
  const page = await house.open_ready();
  const kLong_s = 560, rate = 8000;
  const music = perform(song(), { rate_hz: rate, seconds: kSong_s });
  const long = noise(kLong_s * rate, 5).map((value, i) => music[i] ?? 0.02 * value);
  await with_reference(page, house.file("Long.wav", wav([long], rate)));
  const told = await tape_file(page, file_of(house, "part.wav", song(), { seconds: 40, from_s: 10, speed: 1.012 }), "part.wav");
  near(number(told.reading.speed_error_percent), 1.2, 0.02, "speed error");
}

async function says_that_it_is_another_song(house) {
  const page = await house.open_ready();
  await with_reference(page, reference(house));
  const hiss = wav([noise(kRate * 20, 4).map((value) => 0.1 * value)], kRate);
  const files = [
    [file_of(house, "other.wav", compose({ seconds: 40, seed: 11 }), { seconds: 30 }), "other.wav"],
    [house.file("hiss.wav", hiss), "hiss.wav"],
  ];
  for (const [file, name] of files) {
    const told = await tape_file(page, file, name);
    check(["not_matched", "unreliable"].includes(told.reading.song_status), `${name}: ${told.reading.song_status}`);
    same(told.reading.speed_error_percent, "", `${name}: speed error`);
    await page.until("it to be said", (now) => /recording|song/i.test(now.words.status));
  }
}

async function says_what_is_wrong_with_a_file(house) {
  const page = await house.open_ready();
  await enter(page);
  const quiet = (seconds) => wav([new Float64Array(8000 * seconds)], 8000);
  const bad = [
    ["long.wav", quiet(700), /long\.wav: it is 11:40 long.*up to 10 min/],
    ["short.wav", quiet(4), /short\.wav: it is only 4\.0 s long/],
    ["silent.wav", quiet(20), /silent\.wav: it is silent/],
    ["letter.txt", Buffer.from("Not a song."), /letter\.txt is not a recording/],
  ];
  for (const [name, bytes, words] of bad) {
    await choose(page, "act-song-reference", house.file(name, bytes));
    await page.failed(words);
    check(await page.page.locator("#messages button", { hasText: "Open song" }).isVisible(), `${name}: no way on`);
  }
  await choose(page, "act-song-reference", reference(house));
  await page.phase("idle");
  await choose(page, "act-song-file", house.file("silent.wav", quiet(20)));
  await page.failed(/silent\.wav: it is silent: turn the recording level up/);
  check(await page.page.locator("#act-song-listen").isVisible(), "the reference is gone with a bad tape");
}

async function can_be_cancelled(house) {
  const page = await house.open_ready();
  await with_reference(page, reference(house));
  await choose(page, "act-song-file", file_of(house, "side A.wav", song(), { seconds: 40, from_s: 5 }));
  // At once: on a busy computer it is over before a careful click has looked whether the button stands still.
  await page.page.waitForFunction(
    () => {
      const messages = document.getElementById("messages");
      const cancel = [...messages.querySelectorAll("button")].find((button) => button.textContent === "Cancel");
      if (!cancel || !/Comparing side A\.wav/.test(messages.textContent)) return false;
      cancel.click();
      return true;
    },
    undefined,
    { polling: 50 },
  );
  await page.phase("idle");
  await page.page.waitForTimeout(2500);
  same((await page.told()).phase, "idle", "phase some time after");
  check(await page.page.locator("#act-song-listen").isVisible(), "the reference is forgotten");
}

const budget_row = (page, name) =>
  page.page.evaluate((wanted) => [...document.querySelectorAll("#budget-terms tr")].find((row) => row.children[0].textContent === wanted)?.children[1].textContent, name);

// The same sound is first the song and then the tape: it runs right, and the microphone's clock cancels.
async function records_the_reference(house) {
  const page = await house.open_ready({ sound: [perform(song(), { seconds: 36 })] });
  await enter(page);
  await page.press("act-song-record");
  await page.until("to record", (now) => now.status_line === "Recording the song");
  check(!(await page.page.locator("#act-song-done").isVisible()), "too little can be used");
  await page.page.locator("#act-song-done").waitFor({ timeout: 60_000 });
  await page.page.waitForTimeout(6000);
  await page.press("act-song-done");
  await page.phase("idle");
  await page.press("act-song-listen");
  await follows(page);
  const told = await page.until("a steady speed", (now) => number(now.reading.u95_percent) < 0.01 && now.reading.status === "measured");
  near(number(told.reading.speed_error_percent), 0, 0.01, "speed error");
  await page.open_panel("budget");
  await page.page.waitForFunction(() => document.querySelectorAll("#budget-terms tr").length === 4, undefined, { polling: 100 });
  same(await budget_row(page, "Clock"), "none", "the microphone's clock");
  check(/±0\.01/.test(await budget_row(page, "Song")), `the player's clock: ${await budget_row(page, "Song")}`);
  same(await budget_row(page, "Tape"), "not known", "the tape's own");
}

async function keep_as(page, tape) {
  await page.press("act-song-keep");
  await page.page.locator("#tapes-machine").fill("Kitchen recorder");
  await page.page.locator("#tapes-tape").fill(tape);
  await page.page.locator("#tapes-keep").click();
  await page.page.locator("#tapes-rows th", { hasText: tape }).waitFor();
  await page.page.locator("#tapes [data-close]").click();
}
const rows = (page) => page.page.evaluate(() => [...document.querySelectorAll("#tapes-rows tr")].map((row) => [row.children[0].textContent, row.children[1].textContent, row.dataset.apart]));
const sentence = (page) => page.page.evaluate(() => document.getElementById("tapes-sentence").textContent);

async function tapes_vote(house) {
  const page = await house.open_ready();
  await with_reference(page, reference(house));
  for (const [name, speed] of [["first", 1.009], ["second", 1.011], ["third <b>", 1.01], ["fourth", 1.026]]) {
    const told = await tape_file(page, file_of(house, `${name[0]}${speed}.wav`, song(), { seconds: 14, from_s: 8, speed }), `${name[0]}${speed}.wav`);
    same(told.reading.status, "measured", `${name}: status`);
    await keep_as(page, name);
  }
  const expected = [["first", "+0.90", "false"], ["second", "+1.10", "false"], ["third <b>", "+1.00", "false"], ["fourth", "+2.60", "true"]];
  const seen = (found) => found.map(([name, amount, apart]) => [name, amount.slice(0, 5), apart]);
  same(seen(await rows(page)), expected, "the table");
  check(/^Three tapes say \+0\.9, \+1\.1 and \+1\.0 %: your machine, most likely, .* One says \+2\.6 %: that tape\.$/.test(await sentence(page)), await sentence(page));
  await page.reload();
  same(seen(await rows(page)), expected, "the table after a reload");
  await page.open_panel("tapes");
  await page.page.locator("#tapes-rows button").nth(3).click();
  await page.page.waitForFunction(() => document.querySelectorAll("#tapes-rows tr").length === 3, undefined, { polling: 100 });
  check(!/2\.6/.test(await sentence(page)), "a forgotten tape still votes");
}

async function survives_what_is_stored(house) {
  for (const text of ["{}", "four76-tapes 1\n99 1 2026-11-26 - x\n", "<img src=x>"]) {
    const page = await house.open_ready({ before: (context) => context.addInitScript((tapes) => {
      if (isSecureContext && !sessionStorage.seen) localStorage.setItem("four76.tapes", tapes);
      if (isSecureContext) sessionStorage.seen = "yes";
    }, text) });
    await page.message(/warning: .*tapes' results is damaged and was set aside/);
    await page.press_in_messages("Throw it away");
    await page.until("no more warning", (now) => now.messages.length === 0);
    await page.reload();
    none((await page.told()).messages, "messages after a reload");
  }
}

async function works_without_a_server(house) {
  const { page } = await house.open_without_server();
  await page.reload();
  await with_reference(page, reference(house));
  const told = await tape_file(page, file_of(house, "side A.wav", song(), { seconds: 14, from_s: 8, speed: 1.01 }), "side A.wav");
  near(number(told.reading.speed_error_percent), 1, 0.01, "speed error");
}

async function is_left_as_it_was_entered(house) {
  const page = await house.open_ready();
  await enter(page);
  for (const id of ["act-listen", "act-demo", "act-open-file"]) check(!(await page.page.locator(`#${id}`).isVisible()), `${id} is there`);
  await page.press("act-song-close");
  for (const id of ["act-listen", "act-demo", "act-open-file"]) await page.page.locator(`#${id}`).waitFor();
  await page.page.locator("#welcome").waitFor();
}

// ---- How it looks -----------------------------------------------------------------------------------------------------

const looks_empty = (house) => looks_right(house, "song-empty", {}, enter);
const looks_ready = (house) => looks_right(house, "song-ready", {}, (page) => with_reference(page, reference(house)));

function looks_live(house) {
  const tape = perform(song(), { seconds: 50, from_s: 8, speed: 1.004, hiss: 0.01 });
  return looks_right(house, "song-live", { sound: [tape] }, async (page) => {
    await with_reference(page, reference(house));
    await page.press("act-song-listen");
    await follows(page);
  }, { at_every_size: false });
}
function looks_matched(house) {
  return looks_right(house, "song-matched", {}, async (page) => {
    await with_reference(page, reference(house));
    await tape_file(page, file_of(house, "side A.wav", song(), { seconds: 34, from_s: 20, speed: 1.004, hiss: 0.02 }), "side A.wav");
  });
}
function looks_unmatched(house) {
  return looks_right(house, "song-unmatched", {}, async (page) => {
    await with_reference(page, reference(house));
    await tape_file(page, file_of(house, "other.wav", compose({ seconds: 40, seed: 11 }), { seconds: 30 }), "other.wav");
  }, { at_every_size: false });
}
function looks_recording(house) {
  return looks_right(house, "song-recording", { sound: [perform(song(), { seconds: 36 })] }, async (page) => {
    await enter(page);
    await page.press("act-song-record");
    await page.page.locator("#act-song-done").waitFor({ timeout: 60_000 });
  });
}
function looks_voting(house) {
  const kept = ["four76-tapes 1"];
  for (const [error, tape] of [["0.9", "Summer%20album"], ["1.1", "Songs%20of%20the%20sea"], ["1.0", "Dance%20music%201986"], ["2.6", "Demo%20of%20a%20band"]]) kept.push(`${error} 0.0104 2026-11-26 - ${tape}`);
  return looks_right(house, "song-tapes", {}, async (page) => {
    await page.page.evaluate((text) => localStorage.setItem("four76.tapes", text), `${kept.join("\n")}\n`);
    await page.reload();
    await page.open_panel("tapes");
    await page.page.locator("#tapes-rows tr").nth(3).waitFor();
  });
}

export const tests = [
  ["a song's tape is found, followed through a turn, lost and found again", follows_a_tape],
  ["a tape's file is held against the song", compares_a_file],
  ["a tape's file is held against a song of nine minutes", compares_with_a_long_song],
  ["another song and hiss are said not to match", says_that_it_is_another_song],
  ["what is wrong with a song's file is said in words", says_what_is_wrong_with_a_file],
  ["holding a tape against a song can be cancelled", can_be_cancelled],
  ["a song is recorded by the microphone, whose clock then cancels", records_the_reference],
  ["tapes vote on their machine, and are kept over a reload", tapes_vote],
  ["damaged results of tapes are set aside and said to be", survives_what_is_stored],
  ["a song is compared without a server", works_without_a_server],
  ["the song bench is left as it was entered", is_left_as_it_was_entered],
  ["the song bench without a song looks right", looks_empty, "long"],
  ["the song bench with a song looks right", looks_ready],
  ["a song's tape that plays looks right", looks_live, "long"],
  ["a tape that matches a song looks right", looks_matched],
  ["a tape that does not match a song looks right", looks_unmatched, "long"],
  ["a song that is recorded looks right", looks_recording, "long"],
  ["tapes that vote look right", looks_voting],
];
