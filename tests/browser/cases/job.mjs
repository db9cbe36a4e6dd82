// The job at the bench: the coach beside a screw that is turned, the guide.
import { check, near, same } from "../check.mjs";
import { tone } from "../sound.mjs";
import { looks_right } from "./sizes.mjs";

const kWow = [[7.6, 0.06], [1.3, 0.08], [0.5, 0.05]];
const text = (page, id) => page.page.locator(`#${id}`).innerText();

// A portable, 2 % fast, that somebody turns down by 0.6 % after ten seconds.
async function coaches(house) {
  const turn = { percent: -0.6, at_s: 11, over_s: 0.5 };
  const page = await house.open_ready({
    sound: [tone({ hz: 3042, seconds: 90, wow: kWow, turn, carrier_to_noise_dbhz: 65 })],
    before: (context) => context.addInitScript(() => {
      globalThis.shaken = [];
      navigator.vibrate = (pulses) => globalThis.shaken.push(pulses);
    }),
  });
  await page.listen();
  await page.page.locator("#open-coach").click();
  await page.page.locator("#coach summary").click();
  check(await page.page.locator("#coach-cue").isDisabled(), "sounds are offered although the microphone may hear them");
  check(!(await page.page.locator("#coach-vibrate").isChecked()), "it shakes unasked");
  await page.page.locator("#coach-vibrate").check();
  await page.until_text("coach-detail", /That turn gave \u22120\.\d+ %/);
  const gave = Number(/gave \u2212([\d.]+) %/.exec(await text(page, "coach-detail"))[1]);
  near(gave, 0.6, 0.08, "what the turn gave");
  check(/the same way/.test(await text(page, "coach-large")), await text(page, "coach-large"));
  check(/about (twice|two)|\btimes as much/i.test(await text(page, "coach-large")), await text(page, "coach-large"));
  await page.until("the hint to say so", (told) => /the same way\.$/.test(told.words.status));
  check((await page.page.evaluate(() => globalThis.shaken.length)) > 0, "it never shook");
  house.note(`${await text(page, "coach-large")}; ${await text(page, "coach-detail")}`);
  await page.page.locator("#act-turned").click();
  await page.until_text("coach-large", /same way/);
  // A mark that finds its turn, then one that nothing follows.
  await page.page.waitForTimeout(6500);
  await page.page.locator("#act-turned").click();
  await page.page.waitForFunction(() => document.getElementById("coach-large").dataset.kind === "does_nothing", undefined, { polling: 100, timeout: 20_000 });
  await page.press("coach-close");
}

async function guides(house) {
  const page = await house.open_ready();
  await page.page.locator("#welcome [data-help=guide]").click();
  await page.until_text("guide-step", /1\. Prepare/);
  check(/non-magnetic/.test(await text(page, "guide-step")), "the screwdriver");
  for (const title of ["Clean first", "Connect"]) {
    await page.page.locator("#guide-next").click();
    await page.until_text("guide-step", new RegExp(title));
  }
  await page.close_panel();
  await page.reload();
  await page.page.locator("#welcome [data-help=guide]").click();
  await page.until_text("guide-step", /3\. Connect/); // where it was left
  await page.page.locator("#guide-choice").selectOption("5");
  await page.until_text("guide-step", /must not be touched/);
  same(await page.page.locator("#guide-step [data-act=act-listen]").isVisible(), true, "Listen is offered");
  await page.page.locator("#guide-step [data-act=act-listen]").click();
  await page.page.waitForFunction(() => !document.getElementById("guide").open);
}

// Each step's buttons: offered where they can be pressed, and leading where they say.
async function guide_leads_to_panels(house) {
  const page = await house.open_ready();
  const at = async (step) => {
    await page.open_panel("guide");
    await page.page.locator("#guide-choice").selectOption({ index: step });
  };
  const leads = async (step, section, seen) => {
    await at(step);
    await page.page.locator(`#guide-step [data-help="${section}"]`).click();
    await page.page.waitForFunction((name) => {
      const place = document.getElementById(name);
      return !document.getElementById("guide").open && (place.open ?? !place.hidden);
    }, section, { polling: 50 });
    await page.page.locator(seen).waitFor({ timeout: 5000 }); // what it shows may come with the program's next picture
    if (section === "coach") await page.press("coach-close");
    else await page.close_panel();
    same(await page.page.locator("dialog:modal").count(), 0, `dialogs after ${section}`);
  };
  await leads(2, "typed", "#typed-left");
  await leads(2, "test-tape", "#tape-play");
  await leads(3, "measure", "#measure-seconds");
  await leads(4, "causes", "#causes-nothing");
  await leads(4, "watch", "#watch-large");
  await leads(4, "table", "#table-tape");
  await leads(5, "coach", "#coach-large");
  await leads(7, "watch", "#watch-large");
  await at(3);
  same(await page.page.locator("#guide-step [data-act=act-as-found]").isVisible(), false, "As found, with nothing to measure");
  await at(2);
  await page.page.locator("#guide-step [data-act=act-song]").click();
  await page.page.locator("#act-song-reference").waitFor();
  await at(2);
  same(await page.page.locator("#guide-step [data-act=act-song]").isVisible(), false, "the song bench, from within it");
}

// A host that answers with an error has not sent the guide.
async function guide_that_does_not_come(house) {
  let broken = true;
  const page = await house.open_ready({
    before: async (context) => {
      await context.addInitScript(() => Object.defineProperty(Navigator.prototype, "serviceWorker", { value: undefined })); // nothing is kept
      await context.route("**/guide.html", (route) => (broken ? route.fulfill({ status: 503, contentType: "text/html", body: "<p>busy" }) : route.continue()));
    },
    expect_errors: true,
  });
  await page.open_panel("guide");
  await page.until_text("guide-step", /could not be loaded/, 10_000);
  await page.close_panel();
  broken = false;
  await page.open_panel("guide");
  await page.until_text("guide-step", /1\. Prepare/, 10_000);
}

function guide_looks(house) {
  return looks_right(house, "guide", {}, async (page) => {
    await page.page.locator("#welcome [data-help=guide]").click();
    await page.page.locator("#guide-choice").selectOption("5");
    await page.until_text("guide-step", /Adjust/);
  }, { at_every_size: false });
}

function coach_looks(house) {
  return looks_right(house, "coach", { sound: [tone({ hz: 3042, wow: kWow })] }, async (page) => {
    await page.listen();
    await page.measured();
    await page.open_panel("coach");
  }, { at_every_size: false });
}

export const tests = [
  ["job: the coach sees a turn of the screw, and one that does nothing", coaches],
  ["job: the guide leads through the work and remembers where", guides],
  ["job: the guide's buttons lead to typed, watch, table, test tape and the others", guide_leads_to_panels],
  ["job: a guide that does not come is said, and asked for again", guide_that_does_not_come],
  ["job: the guide fits phone and desktop", guide_looks],
  ["job: the coach fits phone and desktop", coach_looks],
];
