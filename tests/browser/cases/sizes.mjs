// The page on a phone, upright and on its side, on a tablet and a desktop: how its HTML is laid out, and screenshots of
// everything for eyes to look at.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { near, none, number } from "../check.mjs";
import { layout_faults } from "../layout_faults.mjs";
import { tone } from "../sound.mjs";

export const kShots = fileURLToPath(new URL("../../../build/screenshots", import.meta.url));
const kPhone = [390, 844];
// Of these there are pictures: a small phone, a phone upright and on its side, a tablet; a desktop, a large one.
const kPhones = [[320, 568], kPhone, [844, 390], [820, 1180]];
const kOtherPhones = [[568, 320], [360, 640], [667, 375], [932, 430]];
const kDesktop = [1280, 800];
const kDesktops = [kDesktop, [1920, 1080]];
const kOtherDesktops = [[768, 1024], [1024, 768], [1000, 540]];
const kWow = [[7.6, 0.06], [1.3, 0.08], [0.5, 0.1], [2.9, 0.04]];

async function turn_to(page, [width, height]) {
  await page.page.setViewportSize({ width, height });
  await page.page.waitForFunction(
    () => {
      const canvas = document.getElementById("instrument");
      const { width: w, height: h } = canvas.getBoundingClientRect();
      return Math.abs(canvas.width - w * devicePixelRatio) <= 1 && Math.abs(canvas.height - h * devicePixelRatio) <= 1;
    },
    undefined,
    { polling: 50, timeout: 60_000 },
  );
}

async function shoot(house, page, name, [width, height]) {
  if (!house.pictures) return;
  mkdirSync(kShots, { recursive: true });
  await page.page.evaluate(() => (document.getElementById("settings").scrollTop = 0)); // where looking left it
  await page.frame();
  await page.page.screenshot({ path: join(kShots, `${name}-${width}x${height}.png`) });
}

// Faults, each with the sizes at which it is seen.
class Faults {
  #sizes = new Map();
  #house;
  constructor(house) {
    this.#house = house;
  }
  async look(page, sizes, name, shots) {
    for (const size of sizes) {
      await turn_to(page, size);
      if (shots) await shoot(this.#house, page, name, size); // first: looking scrolls
      for (const fault of await page.page.evaluate(layout_faults)) {
        this.#sizes.set(fault, [...(this.#sizes.get(fault) ?? []), size.join("x")]);
      }
    }
  }
  expect_none() {
    none([...this.#sizes].map(([fault, sizes]) => `${fault} at ${sizes.join(", ")}`), "laid out badly");
  }
}

const scale_of = (house) => (house.pictures ? 1 : 0.5);

// reach(page) brings the page to the state, on a desktop and on a phone. Where the HTML is that of another
// state, the sizes of the screenshots are enough.
export async function looks_right(house, name, { locale, look, ...browser_options }, reach, { at_every_size = true } = {}) {
  const faults = new Faults(house);
  const browser = await house.browser(browser_options);
  const seen = async ([width, height], sizes, more_sizes, options) => {
    const page = await house.open_ready({ browser, locale, look, width, height, scale: scale_of(house), ...options });
    await reach(page);
    await faults.look(page, sizes, name, true);
    if (at_every_size) await faults.look(page, more_sizes, name, false);
    await page.page.close(); // what is not looked at need not be drawn
  };
  await seen(kDesktop, kDesktops, kOtherDesktops, {});
  await seen(kPhone, kPhones, kOtherPhones, { touch: true });
  faults.expect_none();
}

const listens = async (page) => {
  await page.listen();
  await page.measured();
};

function start(house) {
  return looks_right(house, "start", {}, async () => {});
}

function listening_in(house) {
  return looks_right(house, "listening-in", { sound: [tone({ hz: 3006, wow: kWow, carrier_to_noise_dbhz: 62 })] }, listens, { at_every_size: false });
}

function in_daylight(house) {
  const sound = [tone({ hz: 3006, wow: kWow, carrier_to_noise_dbhz: 62 })];
  return looks_right(house, "daylight", { sound, look: "light" }, listens, { at_every_size: false });
}

// The README's picture: half a minute in which a slow machine was turned to its speed.
async function turned_to_speed(house) {
  const turn = { percent: 0.6, at_s: 16, over_s: 1.5 };
  const page = await house.open_ready({ scale: scale_of(house), motion: house.pictures, sound: [tone({ hz: 2997, seconds: 120, wow: kWow, turn, carrier_to_noise_dbhz: 62 })] });
  await listens(page);
  const slow = await page.until("a slow machine", (told) => /^Runs 0\.\d+ percent slow, .*speed it up/.test(told.words.status));
  near(number(slow.reading.speed_error_percent), -0.7, 0.3, "speed error before the turn");
  await page.page.waitForTimeout(31_000); // the ribbon's length
  const told = await page.until("ten calm seconds within the tolerance", (now) => /Within 0\.5 %: leave it\.$/.test(now.words.status));
  near(number(told.reading.speed_error_percent), -0.1, 0.3, "speed error after the turn");
  await shoot(house, page, "turned", kDesktop);
}

function listening_off(house) {
  const sound = [tone({ hz: 3057, wow: kWow, carrier_to_noise_dbhz: 62 })];
  return looks_right(house, "listening-off", { sound }, listens, { at_every_size: false });
}

function listening_two(house) {
  const sound = [tone({ hz: 3036, wow: kWow }), tone({ hz: 3024, wow: kWow, seed: 2 })];
  return looks_right(house, "listening-two", { sound }, async (page) => {
    await listens(page);
    await page.message(/do not agree/);
  });
}

function listening_to_nothing(house) {
  const reach = async (page) => {
    await page.listen();
    await page.until("silence to be told", (told) => told.reading.reasons.includes("too_quiet"));
  };
  return looks_right(house, "listening-nothing", { sound: [new Float64Array(44100)] }, reach, { at_every_size: false });
}

// What asks for one of two taps.
function other_tape(house) {
  return looks_right(house, "other-tape", { sound: [tone({ hz: 3155, wow: kWow })] }, async (page) => {
    await page.listen();
    await page.until("the other tape to be named", (told) => told.reading.reasons.includes("wrong_tone"));
  }, { at_every_size: false });
}

function two_tones(house) {
  const [low, high] = [2990, 3015].map((hz, i) => tone({ hz, level_dbfs: -18 - 6 * i }));
  return looks_right(house, "two-tones", { sound: [low.map((x, i) => x + high[i])] }, async (page) => {
    await page.listen();
    await page.until("both tones to be named", (told) => told.reading.reasons.startsWith("competing_tone") && told.words.status.includes("which is the tape's"));
  }, { at_every_size: false });
}

function demo(house) {
  return looks_right(house, "demo", {}, async (page) => {
    await page.press("act-demo");
    await page.measured();
  });
}

// The settings are closed on a phone.
const raw_ribbon = (page) => page.page.evaluate(() => {
  const select = document.getElementById("control-trace");
  select.value = "raw";
  select.dispatchEvent(new Event("change"));
});
const to_flutter = (page) => page.page.evaluate(() => document.getElementById("act-flutter").click());

function flutter_view(house) {
  return looks_right(house, "flutter", { sound: [tone({ hz: 3006, wow: [...kWow, [22, 0.01]], carrier_to_noise_dbhz: 66 })] }, async (page) => {
    await listens(page);
    await raw_ribbon(page);
    await to_flutter(page);
    await page.until("a figure", (told) => told.reading.weighted_two_sigma_percent !== "" && told.reading.components !== "");
    await page.page.evaluate(() => document.getElementById("act-measure").click());
    await page.page.waitForFunction(() => document.getElementById("measure-progress").value > 0.25, undefined, { polling: 100, timeout: 60_000 });
  });
}

function flutter_demo(house) {
  return looks_right(house, "flutter-demo", {}, async (page) => {
    await page.press("act-demo");
    await page.measured();
    await raw_ribbon(page);
    await to_flutter(page);
    await page.until("a figure", (told) => told.reading.weighted_two_sigma_percent !== "" && told.reading.components.split(" ").length > 3);
  }, { at_every_size: false });
}

function refused(house) {
  return looks_right(house, "refused", { asks: true }, async (page) => {
    await page.press("act-listen");
    await page.phase("failed");
  });
}

function file(house) {
  const recording = house.file("side A, start.wav", house.wav_of([tone({ hz: 3011, seconds: 30, wow: kWow }), tone({ hz: 3011, seconds: 30, wow: kWow, seed: 2 })]));
  return looks_right(house, "file", {}, async (page) => {
    await page.open_file(recording);
    await page.phase("file_shown");
  });
}

async function panels(house) {
  const browser = await house.browser();
  const page = await house.open_ready({ browser, width: 390, height: 844, scale: scale_of(house), touch: true });
  const faults = new Faults(house);
  for (const [name, button] of [["safety", "#welcome [data-help=safety]"], ["help", "#settings [data-help=use]"]]) {
    if (name === "help") await page.press("open-settings");
    await page.page.locator(button).click();
    await faults.look(page, [...kPhones, ...kOtherPhones, kDesktop], name, true);
    await turn_to(page, kPhone);
    await page.page.locator("#help-close").click();
  }
  await page.press("open-settings");
  await faults.look(page, [...kPhones, ...kOtherPhones], "settings", true);
  await page.choose("tone", "own");
  await page.page.locator("#ask-value").waitFor();
  await faults.look(page, [...kPhones, ...kOtherPhones], "number", true);
  faults.expect_none();
}

// What is read at length, beside a reading that runs; and a check of the clock from its form to what was kept.
async function reading_panels(house) {
  const browser = await house.browser({ sound: [tone({ hz: 1000.08, seconds: 60, wow: [[7.6, 0.01]] })] });
  const page = await house.open_ready({ browser, fragment: "#v1.tone=1000", width: 390, height: 844, scale: scale_of(house), touch: true });
  const faults = new Faults(house);
  const sizes = [...kPhones, kDesktop];
  await listens(page);
  for (const name of ["trouble", "budget", "measure", "causes", "parts"]) {
    await page.open_panel(name);
    await faults.look(page, sizes, name, true);
    await page.page.locator(`#${name} [data-close]`).click();
  }
  await page.press("act-stop");
  await page.open_panel("clock");
  await faults.look(page, sizes, "clock-form", true);
  await page.page.locator("#clock-ppm").fill("0.5");
  await page.page.locator("#clock-start").click();
  await page.page.waitForFunction(() => /so far/.test(document.getElementById("clock-said").textContent), undefined, { polling: 100 });
  await faults.look(page, kPhones, "clock-listening", true);
  await page.page.locator("#clock-keep").waitFor({ timeout: 90_000 });
  await faults.look(page, sizes, "clock-found", true);
  await page.page.locator("#clock-keep").click();
  await page.page.locator("#clock-kept button").waitFor();
  await faults.look(page, sizes, "clock-kept", true);
  faults.expect_none();
}

// The panel of causes with everything in it: a verdict, several causes, what to do, the rates, the standards.
async function causes_panel(house) {
  const browser = await house.browser({ sound: [tone({ hz: 2960, seconds: 60, wow: [[1.26, 1.1], [2.52, 0.3], [7.6, 0.2], [0.5, 0.3]], carrier_to_noise_dbhz: 66 })] });
  const page = await house.open_ready({ browser, width: 390, height: 844, scale: scale_of(house), touch: true });
  const faults = new Faults(house);
  await listens(page);
  await to_flutter(page);
  await page.page.waitForFunction(() => document.querySelectorAll("#causes-list li").length > 2 && document.querySelectorAll("#causes-verdicts p").length > 0, undefined, { polling: 100, timeout: 60_000 });
  await faults.look(page, kPhones, "flutter-faulty", true);
  await page.open_panel("causes");
  await faults.look(page, [...kPhones, ...kOtherPhones, kDesktop], "causes-full", true);
  faults.expect_none();
}

export const tests = [
  ["laid out well at any size: start", start],
  ["laid out well, and seen: listening, in tolerance", listening_in],
  ["laid out well, and seen: listening, in daylight", in_daylight, "long"],
  ["a slow machine is seen to be turned to its speed", turned_to_speed],
  ["laid out well, and seen: listening, off", listening_off, "long"],
  ["laid out well at any size: listening, channels differ", listening_two, "long"],
  ["laid out well, and seen: listening to silence", listening_to_nothing, "long"],
  ["laid out well, and seen: listening, another tape", other_tape, "long"],
  ["laid out well, and seen: listening, two tones", two_tones, "long"],
  ["laid out well at any size: demo", demo, "long"],
  ["laid out well at any size: wow and flutter", flutter_view],
  ["laid out well, and seen: wow and flutter in the demo", flutter_demo, "long"],
  ["laid out well at any size: what wow and flutter come from", causes_panel],
  ["laid out well at any size: microphone refused", refused, "long"],
  ["laid out well at any size: file shown", file, "long"],
  ["laid out well at any size: settings, help and dialogs", panels],
  ["laid out well at any size: what to do, error budget, clock", reading_panels],
];
