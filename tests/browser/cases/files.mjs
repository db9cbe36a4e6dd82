// Recordings opened through the file chooser.
import { basename } from "node:path";
import { check, near, none, number, same } from "../check.mjs";
import { noise, tone } from "../sound.mjs";
import { flac, wav } from "../wav.mjs";

const kNumbers = ["speed_error_percent", "u95_percent", "frequency_hz", "level_dbfs", "carrier_to_noise_dbhz"];

async function shows(page, file) {
  await page.open_file(file);
  const name = basename(file);
  return page.until(`the reading of ${name}`, (now) => now.phase === "file_shown" && now.status_line.startsWith(`${name}, all of it`));
}

async function reads_wav_at_its_own_rate(house) {
  // The browser's decoder is taken away: the page must read WAV itself.
  const page = await house.open_ready({ before: (context) => context.addInitScript(() => delete globalThis.OfflineAudioContext) });
  for (const [rate_hz, bits] of [[96000, 24], [192000, 16], [8000, 16], [44100, 32]]) {
    const sound = [tone({ hz: 3021.7, seconds: 6, rate_hz, carrier_to_noise_dbhz: 70 })];
    const told = await shows(page, house.file(`${rate_hz}.wav`, wav(sound, rate_hz, { bits })));
    same(told.reading.status, "measured", `${rate_hz} Hz: status`);
    near(number(told.reading.frequency_hz), 3021.7, 0.03, `${rate_hz} Hz: frequency`);
    same(told.messages, [], `${rate_hz} Hz: messages`);
  }
}

async function reads_both_channels_of_a_file(house) {
  const page = await house.open_ready();
  const sound = [tone({ hz: 2990, seconds: 6, rate_hz: 48000, seed: 1 }), tone({ hz: 2996, seconds: 6, rate_hz: 48000, seed: 2 })];
  const told = await shows(page, house.file("stereo.wav", wav(sound, 48000)));
  near(number(told.left.frequency_hz), 2990, 0.03, "left");
  near(number(told.right.frequency_hz), 2996, 0.03, "right");
  same(told.agree, "false", "channels agree");
  await page.message(/Left and right do not agree/);
}

async function reads_flac(house) {
  const page = await house.open_ready();
  for (const rate_hz of [44100, 96000]) {
    const sound = [tone({ hz: 2978.3, seconds: 5, rate_hz }), tone({ hz: 2978.3, seconds: 5, rate_hz, seed: 2 })];
    const told = await shows(page, house.file(`tape ${rate_hz}.flac`, flac(sound, rate_hz)));
    same(told.reading.status, "measured", `${rate_hz} Hz: status`);
    near(number(told.reading.frequency_hz), 2978.3, 0.03, `${rate_hz} Hz: frequency`);
    same(told.agree, "true", `${rate_hz} Hz: channels agree`);
  }
}

async function says_what_is_wrong_with_a_bad_file(house) {
  const page = await house.open_ready();
  const sound = tone({ hz: 3000, seconds: 2 });
  const good = wav([sound], 44100);
  const bad = [
    ["empty.wav", Buffer.alloc(0), /empty\.wav is empty/],
    ["letter.wav", Buffer.from("Dear friend, this is not a recording at all.\n".repeat(20)), /letter\.wav is not a recording/],
    ["letter.txt", Buffer.from("Nor is this."), /letter\.txt is not a recording/],
    ["three.wav", wav([sound, sound, sound], 44100), /three\.wav: .*channels/],
    ["head.wav", good.subarray(0, 44), /head\.wav: /],
    ["half a head.wav", good.subarray(0, 30), /half a head\.wav: /],
    ["slow.wav", wav([sound], 4000), /slow\.wav: .*(rate|Hz)/],
    ["broken.flac", flac([sound], 44100).subarray(0, 20), /broken\.flac is not a recording/],
  ];
  for (const [name, bytes, words] of bad) {
    await page.open_file(house.file(name, bytes));
    const told = await page.failed(words);
    same(told.phase, "failed", `${name}: phase`);
    for (const field of kNumbers) same(told.reading[field], "", `${name}: ${field}`);
    check(/Open another one/.test(told.messages.join(" ")), `${name}: no way on in ${told.messages.join(" ")}`);
  }
  const told = await shows(page, house.file("good.wav", good)); // and it goes on
  same(told.reading.status, "measured", "a good file afterwards");
}

async function says_that_a_file_is_cut(house) {
  const page = await house.open_ready();
  const good = wav([tone({ hz: 3003, seconds: 8 })], 44100);
  const cut = await shows(page, house.file("cut.wav", good.subarray(0, 44 + 2 * 44100 * 5 + 1)));
  near(number(cut.reading.frequency_hz), 3003, 0.03, "frequency");
  await page.message(/warning: The file ends after 5\.0 s, though it should be longer/);
  const boast = await shows(page, house.file("boast.wav", wav([tone({ hz: 3003, seconds: 3 })], 44100, { claims: { data_bytes: 0xffffff00 } })));
  near(number(boast.reading.frequency_hz), 3003, 0.03, "frequency where gigabytes are claimed");
  await page.message(/ends after 3\.0 s/);
}

async function shows_no_number_where_there_is_none(house) {
  const page = await house.open_ready();
  const holed = tone({ hz: 3000, seconds: 3 });
  const files = [
    ["silence.wav", wav([new Float64Array(44100 * 3)], 44100)],
    ["noise.wav", wav([noise(44100 * 3, 7).map((value) => 0.05 * value)], 44100)],
    ["short.wav", wav([tone({ hz: 3000, seconds: 0.05 })], 44100)],
    ["not numbers.wav", wav([new Float64Array(44100).fill(NaN)], 44100, { bits: 32 })],
    ["infinite.wav", wav([new Float64Array(44100).fill(Infinity)], 44100, { bits: 32 })],
    ["holed.wav", wav([holed.map((value, i) => (i % 9000 < 4500 ? NaN : value))], 44100, { bits: 32 })],
  ];
  for (const [name, bytes] of files) {
    const { reading, words } = await shows(page, house.file(name, bytes));
    for (const field of kNumbers) check(reading[field] === "" || Number.isFinite(Number(reading[field])), `${name}: ${field} ${reading[field]}`);
    check(!/nan|inf/i.test(words.speed_error_percent + words.frequency_hz + words.level_dbfs), `${name}: ${JSON.stringify(words)}`);
    if (name === "holed.wav") continue; // half of it is tone: what holds of that may be said
    check(reading.status !== "measured", `${name} was measured: ${JSON.stringify(reading)}`);
    check(reading.reasons !== "", `${name}: no reason`);
  }
}

// The Worker's own copy of the program does not come: said in the person's language.
async function says_that_the_worker_broke(house) {
  let blocked = false;
  const page = await house.open_ready({
    locale: "de-DE",
    before: async (context) => {
      await context.addInitScript(() => Object.defineProperty(Navigator.prototype, "serviceWorker", { value: undefined })); // nothing is kept
      await context.route("**/four76.wasm", (route) => (blocked ? route.abort() : route.continue()));
    },
    expect_errors: true,
  });
  blocked = true;
  await page.open_file(house.file("tape.wav", wav([tone({ hz: 3000, seconds: 3 })], 44100)));
  await page.failed(/tape\.wav ließ sich nicht lesen/);
  blocked = false;
  await page.open_file(house.file("again.wav", wav([tone({ hz: 3000, seconds: 3 })], 44100)));
  await page.phase("file_shown");
}

async function closes_and_measures_again(house) {
  const page = await house.open_ready();
  const file = house.file("tape.wav", wav([tone({ hz: 3150, seconds: 3 })], 44100));
  const other = await shows(page, file);
  check(other.reading.reasons.split(" ").includes("wrong_tone"), `reasons ${other.reading.reasons}`);
  await page.choose("tone", "3150");
  const again = await page.until("the file to be measured again", (now) => now.phase === "file_shown" && now.reading.reasons === "" && now.reading.status === "measured");
  near(number(again.reading.speed_error_percent), 0, 0.01, "speed error against the other tone");
  // Under another name, so that the reading which is on show is not taken for the new one.
  const told = await shows(page, house.file("tape again.wav", wav([tone({ hz: 3150, seconds: 3 })], 44100)));
  near(number(told.reading.speed_error_percent), 0, 0.001, "speed error");
  same(await page.page.locator("#act-stop").innerText(), "Close file", "the stop button");
  await page.press("act-stop");
  const closed = await page.phase("idle");
  none(kNumbers.filter((field) => closed.reading[field] !== ""), "numbers after closing");
}

// One tap on either tone: the other tape is measured anew above; here the person keeps the one that was chosen.
async function keeps_the_tone_when_told(house) {
  const page = await house.open_ready();
  const other = await shows(page, house.file("fast.wav", wav([tone({ hz: 3150, seconds: 4 })], 44100)));
  same(other.reading.status, "unreliable", "status before");
  same(other.reading.causes, "", "causes before");
  same(other.reading.verdicts, "", "verdicts before");
  await page.in_menu(() => page.press("act-sure"));
  const told = await page.until("the machine to be 5 % fast", (now) => now.phase === "file_shown" && now.reading.status === "measured");
  near(number(told.reading.speed_error_percent), 5, 0.001, "speed error");
  check(!(await page.page.locator("#act-sure").isVisible()), "it is asked again");
  check(number(told.reading.budget_u95_percent) >= 0.01, `in all ${told.reading.budget_u95_percent}`);
}

async function asks_which_of_two_tones(house) {
  const page = await house.open_ready();
  const [low, high] = [2990, 3015].map((hz, i) => tone({ hz, seconds: 6, level_dbfs: -18 - 6 * i }));
  const both = low.map((x, i) => x + high[i]);
  const asked = await shows(page, house.file("two.wav", wav([both], 44100)));
  same(asked.reading.status, "unreliable", "status before");
  same(asked.reading.reasons.split(" ")[0], "competing_tone", "reason");
  const options = await page.page.locator("#control-near option").allTextContents();
  same(options.slice(1).join(), "2990.0 Hz,3015.0 Hz", "what may be chosen");
  await page.choose("near", (await page.page.locator("#control-near option").nth(2).getAttribute("value")));
  const told = await page.until("the softer tone's reading", (now) => now.phase === "file_shown" && now.reading.status === "measured");
  near(number(told.reading.frequency_hz), 3015, 0.01, "frequency");
}

export const tests = [
  ["WAV files of 8 to 192 kHz are read at their own rate", reads_wav_at_its_own_rate],
  ["both channels of a file are read and compared", reads_both_channels_of_a_file],
  ["FLAC files are read", reads_flac],
  ["what is wrong with a bad file is said in words", says_what_is_wrong_with_a_bad_file],
  ["a file that was cut is measured, and said to be cut", says_that_a_file_is_cut],
  ["silence, noise and samples that are not numbers give no number", shows_no_number_where_there_is_none],
  ["a Worker that breaks is said in the person's language", says_that_the_worker_broke],
  ["a file is closed, or measured again against another tone", closes_and_measures_again],
  ["a tape that reads as another standard tone is measured as told", keeps_the_tone_when_told],
  ["of two steady tones the one that was chosen is measured", asks_which_of_two_tones],
];
