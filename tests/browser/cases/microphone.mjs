// What the page makes of what the microphone hears.
import { check, mean, near, none, number, same } from "../check.mjs";
import { feed, takes_samples } from "../fed.mjs";
import { amplitude, kMicrophoneHz, noise, tone, voice } from "../sound.mjs";

const kFields = ["status", "speed_error_percent", "u95_percent", "frequency_hz", "level_dbfs", "carrier_to_noise_dbhz", "reasons"];
const kActs = ["act-listen", "act-stop", "act-demo", "act-open-file", "act-as-found", "act-as-left"];

async function measures_a_tone(house) {
  const error_percent = 1.22; // of 3036.6 Hz against 3000
  const page = await house.open_ready({ before: takes_samples });
  for (const id of kActs) check((await page.page.locator(`button#${id}`).count()) === 1, `there is no button ${id}`);
  await page.listen();
  const fed = await feed(page, [tone({ hz: 3036.6, wow: [[7.6, 0.05], [1.3, 0.03], [0.5, 0.03]] })]);
  await page.measured();
  house.note(`first reading after ${(await fed.seconds()).toFixed(2)} s of sound`);

  await page.until("the dial to be past its first, shortest window", async () => (await fed.seconds()) > 3);
  const { rows } = await page.watch_readings(6000);
  for (const field of kFields) check(rows.every((row) => row[field] !== undefined), `the mirror lacks ${field}`);
  none(rows.filter((row) => row.status !== "measured").map((row) => `${row.status} ${row.reasons}`), "not measured");
  check(rows.length > 10, `only ${rows.length} readings`);
  const errors = rows.map((row) => number(row.speed_error_percent));
  near(mean(errors), error_percent, 0.01, "mean speed error");
  near(mean(rows.map((row) => number(row.frequency_hz))), 3036.6, 0.3, "mean frequency");
  const inside = rows.filter((row) => Math.abs(number(row.speed_error_percent) - error_percent) <= number(row.u95_percent));
  check(inside.length >= 0.95 * rows.length, `only ${inside.length} of ${rows.length} readings hold the truth within their u95`);
  const widest = Math.max(...rows.map((row) => number(row.u95_percent)));
  check(widest < 0.11, `a reading claims no more than ± ${widest} %`); // the wow's peaks add up to 0.11 %
  for (const row of rows) near(number(row.speed_error_percent), 100 * (number(row.frequency_hz) / 3000 - 1), 1e-6, "speed error from frequency");
  house.note(`mean error ${mean(errors).toFixed(4)} % for ${error_percent} %, ${inside.length} of ${rows.length} within u95, at most ± ${widest.toFixed(4)} %`);

  await page.press("act-stop");
  const held = await page.phase("held");
  await page.page.waitForTimeout(500);
  const later = await page.told();
  same(held.reading.status, "measured", "status after stop");
  same(later.reading.speed_error_percent, held.reading.speed_error_percent, "what was heard last, some time after");
  await page.press("act-clear");
  const cleared = await page.phase("idle");
  same(cleared.reading.status, "no_tone", "status once it is cleared");
  same(cleared.reading.speed_error_percent, "", "speed error once it is cleared");
}

// By Chromium's own microphone. A busy computer loses samples; then the page has to say that it did, and nothing else may
// keep a reading back.
async function measures_a_steady_tone(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 2991.3 })], fragment: "" });
  await page.listen();
  await page.measured();
  await page.page.waitForTimeout(1500);
  const { rows } = await page.watch_readings(4000);
  const lost = (row) => row.reasons.split(" ").includes("capture_gap");
  none(rows.filter((row) => row.status !== "measured" && !lost(row)).map((row) => `${row.status} ${row.reasons}`), "kept back without a loss");
  const good = rows.filter((row) => row.status === "measured");
  check(good.length > 0, "no reading was measured");
  const worst = Math.max(...good.map((row) => Math.abs(number(row.speed_error_percent) + 0.29)));
  check(worst < 0.01, `the worst reading is ${worst} % off`);
  near(number(good.at(-1).level_dbfs), -18, 0.3, "level");
  near(number(good.at(-1).carrier_to_noise_dbhz), 75, 3, "carrier to noise");
  house.note(`worst of ${good.length} of ${rows.length} single readings ${worst.toFixed(4)} % off`);
}

// Values at least four times a second; words, which are read aloud, at most once. The seconds are the page's own: its clock
// goes on by as much as a block of sound lasts, when the block has been taken, so that it is the page that is asked and not
// the computer.
async function keeps_the_mirror_going(house) {
  const page = await house.open_ready({ before: async (context) => {
    await context.clock.install();
    await takes_samples(context);
  } });
  same(await page.page.locator("#reading").getAttribute("aria-live"), "polite", "aria-live");
  await page.listen();
  const fed = await feed(page, [tone({ hz: 3010, wow: [[0.3, 0.02]] })], { runs: false }); // so that the words have something new
  const kBlockMs = (1000 * 2048) / kMicrophoneHz;
  const pass = async (ms) => {
    for (let passed = 0; passed < ms; passed += kBlockMs) {
      await fed.give();
      await page.page.clock.runFor(kBlockMs);
    }
  };
  await page.page.clock.pauseAt(await page.page.evaluate(() => Date.now() + 1000));
  await pass(3000);
  same((await page.told()).reading.status, "measured", "status after 3 s");
  const watched = page.watch_readings(5000);
  await pass(5200);
  const { rows, spoken_ms } = await watched;
  const gaps = spoken_ms.slice(1).map((at, i) => at - spoken_ms[i]);
  check(gaps.length > 1 && gaps.every((gap) => gap >= 1000), `words changed after ${gaps.map(Math.round)} ms`);
  const steps = rows.slice(1).map((row, i) => row.at_ms - rows[i].at_ms);
  check(steps.length > 10 && Math.max(...steps) <= 250, `values came ${Math.max(...steps)} ms apart`);
  const { words } = await page.told();
  check(/^Runs 0\.[234]\d? percent fast, plus or minus \S+ percent\./.test(words.status), `said: ${words.status}`);
  house.note(`${rows.length} values and ${spoken_ms.length} times words in 5 s`);
}

async function reads_both_channels(house) {
  const left = tone({ hz: 3036, seed: 1 });
  const right = tone({ hz: 3030, seed: 2, level_dbfs: -24 });
  const page = await house.open_ready({ sound: [left, right] });
  await page.listen();
  const told = await page.until("both channels and their difference", (now) => now.agree === "false" && now.left.status === "measured" && now.right.status === "measured");
  near(number(told.left.frequency_hz), 3036, 0.3, "left");
  near(number(told.right.frequency_hz), 3030, 0.3, "right");
  await page.message(/warning: Left and right do not agree/);
  await page.choose("channel", "right");
  const shown = await page.until("the right channel", (now) => now.channel === "right" && now.reading.status === "measured");
  near(number(shown.reading.frequency_hz), 3030, 0.3, "right on show");
  await page.choose("channel", "left");
  await page.until("the left channel", (now) => now.channel === "left" && Math.abs(number(now.reading.frequency_hz) - 3036) < 0.3);
}

async function finds_equal_channels_to_agree(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 3012, seed: 1 }), tone({ hz: 3012, seed: 2 })] });
  await page.listen();
  const told = await page.until("both channels to agree", (now) => now.agree === "true");
  none(told.messages.filter((message) => /do not agree/.test(message)), "messages");
  // One microphone comes as two equal channels, and is one.
  const mono = await house.open_ready({ sound: [tone({ hz: 3012 })] });
  await mono.listen();
  await mono.measured();
  await mono.until("one channel", (now) => now.channel === "mono" && Object.keys(now.right).length === 0);
}

// Never a number, whatever there is of reasons.
async function never_measures(house, sound, ms) {
  const page = await house.open_ready({ sound });
  await page.listen();
  const { rows } = await page.watch_readings(ms);
  check(rows.length > 8, `only ${rows.length} readings`);
  none(rows.filter((row) => row.status === "measured").map((row) => `${row.speed_error_percent} +- ${row.u95_percent}`), "measured");
  return rows;
}

async function says_silence_is_silence(house) {
  for (const [name, sound] of [
    ["zeros", [new Float64Array(kMicrophoneHz * 4)]],
    ["a whisper of noise", [noise(kMicrophoneHz * 4, 3).map((value) => amplitude(-88) * value)]],
  ]) {
    const rows = await never_measures(house, sound, 4000);
    none(rows.filter((row) => row.speed_error_percent !== "" || row.frequency_hz !== "").map((row) => row.speed_error_percent), `${name}: a number`);
    same(rows.at(-1).status, "no_tone", `${name}: status`);
    check(rows.at(-1).reasons.split(" ").includes("too_quiet"), `${name}: reasons ${rows.at(-1).reasons}`);
  }
}

async function does_not_measure_a_voice(house) {
  const rows = await never_measures(house, [voice({})], 10_000);
  house.note(`${rows.length} readings, statuses ${[...new Set(rows.map((row) => row.status))].join(" ")}`);
}

async function refuses_a_narrow_microphone(house) {
  for (const rate_hz of [8000, 16000]) {
    const page = await house.open_ready({
      sound: [tone({ hz: 3010 })],
      before: (context) =>
        context.addInitScript((device_hz) => {
          const settings = MediaStreamTrack.prototype.getSettings;
          MediaStreamTrack.prototype.getSettings = function () {
            return { ...settings.call(this), sampleRate: device_hz };
          };
        }, rate_hz),
    });
    await page.press("act-listen");
    const told = await page.failed(/^This microphone hears only speech\. Choose/);
    same(told.phase, "failed", "phase");
    same(told.reading.reasons, "narrow_capture", "reasons");
    same(told.reading.speed_error_percent, "", "speed error");
    check(await page.page.locator("#act-listen").isVisible(), "there is no way on");
  }
}

async function knows_another_standard_tone(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 3150 * 1.004 })] });
  await page.listen();
  await page.until("the other tape to be named", (now) => now.reading.reasons.split(" ").includes("wrong_tone"));
  await page.choose("tone", "3150");
  const told = await page.until("the right tape's reading", (now) => now.reading.status === "measured" && now.reading.reasons === "");
  near(number(told.reading.speed_error_percent), 0.4, 0.02, "speed error");
}

export const tests = [
  ["a tone on the microphone is measured to 0.01 %", measures_a_tone],
  ["every reading of a steady tone is within 0.01 %", measures_a_steady_tone],
  ["the mirror's values come four times a second, its words once", keeps_the_mirror_going],
  ["both channels are read, and that they differ is said", reads_both_channels],
  ["equal channels agree, and one microphone is one channel", finds_equal_channels_to_agree],
  ["a silent microphone is too quiet, and no number", says_silence_is_silence],
  ["a voice is not measured", does_not_measure_a_voice],
  ["a microphone for speech alone is refused", refuses_a_narrow_microphone],
  ["another standard tone is known, and choosing it helps", knows_another_standard_tone],
];
