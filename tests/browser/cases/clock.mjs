// The error budget, the check of the device's clock, and what to do when a reading is not to be trusted.
import { check, near, none, number, same } from "../check.mjs";
import { tone } from "../sound.mjs";

function budget(page) {
  return page.page.evaluate(() => Object.fromEntries([...document.querySelectorAll("#budget tr")].slice(1).map((row) => [row.children[0].textContent, [row.children[1].textContent, row.children[2].textContent]])));
}
const percent = (text) => Number(/±([\d.]+) %/.exec(text)?.[1]);

async function adds_the_budget_up(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 3015, wow: [[7.6, 0.05], [1.3, 0.05]] })] });
  await page.listen();
  await page.measured();
  await page.open_panel("budget");
  await page.page.waitForFunction(() => document.querySelectorAll("#budget-terms tr").length === 4, undefined, { polling: 100 });
  const unknown = await budget(page);
  same(unknown.Tape[0], "not known", "a tape that nothing is known of");
  near(percent(unknown.Clock[0]), 0.0101, 1e-6, "an unchecked clock");
  check("Total, without the tape's error" in unknown, `the sum does not say what it leaves out: ${JSON.stringify(unknown)}`);
  await page.close_panel();
  await page.choose("tape-tolerance", "0.2");
  await page.open_panel("budget");
  await page.page.waitForFunction(() => document.querySelector("#budget-sum th")?.textContent === "Total", undefined, { polling: 100 });
  const known = await budget(page);
  const [noise, wow, clock, tape] = ["Noise", "Wow", "Clock", "Tape"].map((name) => percent(known[name][0]));
  near(tape, 0.2015, 0.00051, "the tape's own"); // 0.201, rounded up by a hair of the speed
  near(percent(known["Total"][0]), Math.hypot(noise, wow, clock, tape), 0.002, "the sum");
  house.note(`${known["Total"][0]} in all`);
}

// What was shut is not looked at; opened again, it tells of now.
async function forgets_an_old_budget(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 3015 })] });
  await page.listen();
  await page.measured();
  await page.open_panel("budget");
  await page.until_text("budget-terms", /Clock±/);
  await page.close_panel();
  await page.stop();
  await page.open_panel("budget");
  check(!/±/.test((await budget(page))["Clock"]?.[0] ?? ""), "it tells of what was stopped");
}

async function begin_check(page, hz, ppm) {
  await page.open_panel("clock");
  await page.page.locator("#clock-hz").fill(hz);
  await page.page.locator("#clock-ppm").fill(ppm);
  await page.page.locator("#clock-start").click();
}
const said = (page, pattern) =>
  page.page.waitForFunction((source) => new RegExp(source).test(document.getElementById("clock-said").textContent), pattern.source, { polling: 100, timeout: 90_000 });

// A tone that reads 120 ppm high: this clock is 120 ppm slow, and the next reading is lower by as much.
async function checks_the_clock(house) {
  const kHz = 1000 * (1 + 120e-6);
  const page = await house.open_ready({ sound: [tone({ hz: kHz, seconds: 60, carrier_to_noise_dbhz: 70 })] });
  await begin_check(page, "1000", "100");
  check(/from 0 to 99 ppm/.test(await page.page.locator("#clock-fault").innerText()), "a source no truer than nothing is taken");
  await page.page.locator("#clock-ppm").fill("0.5");
  await page.page.locator("#clock-start").click();
  await said(page, /of 20 s heard; so far 1\d\d\.\d ± \d\.\d ppm slow\./);
  await said(page, /^This device's clock runs 1\d\d\.\d ± \d\.\d ppm slow\.$/);
  house.note(await page.page.locator("#clock-said").innerText());
  same((await page.told()).phase, "idle", "phase after the check");
  await page.page.locator("#clock-keep").click();
  await said(page, /Kept/);
  await page.close_panel();
  const measures = async (what, error_percent) => {
    await page.listen();
    await page.measured();
    await page.page.waitForTimeout(1500);
    near(number((await page.measured()).reading.speed_error_percent), error_percent, 0.001, what);
    await page.stop();
  };
  await page.page.evaluate(() => (location.hash = "#v1.tone=1000"));
  await measures("corrected", 0);
  await page.reload();
  await measures("corrected after a reload", 0);
  await page.open_panel("clock");
  await page.page.locator("#clock-kept button").click();
  await page.page.waitForFunction(() => document.getElementById("clock-list").hidden, undefined, { polling: 100 });
  await page.close_panel();
  await measures("forgotten", 0.012);
}

async function refuses_another_frequency(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 1000, seconds: 20 })] });
  await begin_check(page, "1010", "1");
  await said(page, /^Nothing was changed\. The tone is further off than any clock\. Another frequency/);
  check(await page.page.locator("#clock-start").isVisible(), "there is no way on");
  check(!(await page.page.locator("#clock-keep").isVisible()), "it could be kept");
  await page.page.locator("#clock-close").click();
  same((await page.told()).phase, "idle", "phase");
}

async function survives_what_is_stored(house) {
  for (const text of ["{}", "four76-clocks 1\n48000 99999 1 2026-11-25 mic\n", "<img src=x>"]) {
    const page = await house.open_ready({ before: (context) => context.addInitScript((clocks) => {
      if (isSecureContext && !sessionStorage.seen) localStorage.setItem("four76.clocks", clocks);
      if (isSecureContext) sessionStorage.seen = "yes";
    }, text) });
    await page.message(/warning: .*damaged and was set aside/);
    await page.press_in_messages("Throw it away");
    await page.until("no more warning", (now) => now.messages.length === 0);
    await page.reload();
    none((await page.told()).messages, "messages after a reload");
  }
}

// A private window: what is found holds as long as the page, and that is said.
async function says_that_nothing_is_kept(house) {
  const page = await house.open_ready({
    sound: [tone({ hz: 1000, seconds: 60 })],
    before: (context) => context.addInitScript(() => {
      Storage.prototype.setItem = () => {
        throw new DOMException("refused by the test", "QuotaExceededError");
      };
    }),
  });
  await begin_check(page, "1000", "0.5");
  await page.page.locator("#clock-keep").waitFor({ timeout: 90_000 });
  await page.page.locator("#clock-keep").click();
  await said(page, /holds until the page is closed\./);
}

async function says_what_to_do(house) {
  const loud = tone({ hz: 3010, seconds: 10 }).map((value) => Math.max(-0.99, Math.min(0.99, value * 16)));
  const page = await house.open_ready({ sound: [loud] });
  await page.listen();
  await page.until("clipping to be seen", (now) => now.reading.reasons.split(" ").includes("clipping"));
  await page.open_panel("trouble");
  await page.page.waitForFunction(() => document.querySelector('#trouble-now [data-reason="clipping"]'), undefined, { polling: 100 });
  const now = await page.page.locator("#trouble-now").innerText();
  check(/overdriven.*Turn the machine down/s.test(now), now);
  same(await page.page.locator("#trouble-reasons dt").count(), 14, "reasons explained");
  same(await page.page.locator("#trouble-platforms details").count(), 5, "platforms explained");
  same(await page.page.locator("#trouble-platforms details[open] summary").innerText(), "Linux: this device", "the platform at hand");
}

export const tests = [
  ["the error budget adds up, and says what it leaves out", adds_the_budget_up],
  ["the error budget of what was stopped is not told any more", forgets_an_old_budget],
  ["the device's clock is checked, kept, applied and forgotten", checks_the_clock],
  ["a check with another frequency than was entered is refused", refuses_another_frequency],
  ["damaged clock checks are set aside and said to be", survives_what_is_stored],
  ["a browser that keeps nothing is said to", says_that_nothing_is_kept],
  ["what to do is said for every reason and platform", says_what_to_do],
];
