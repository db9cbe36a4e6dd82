// Whoever does not see the page, or uses no pointer: axe-core finds nothing against WCAG 2.2 AA in any state, the keyboard
// reaches every control and shows where it is, and everything holds at twice the size.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { none, number, same } from "../check.mjs";
import { layout_faults } from "../layout_faults.mjs";
import { tone } from "../sound.mjs";

const kAxe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const kRules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

// What axe-core has against the page as it stands, a line each.
export async function faults_now(page, state) {
  await page.page.evaluate(`globalThis.axe ?? (() => { ${kAxe} })()`);
  const { violations } = await page.page.evaluate((rules) => axe.run(document, { runOnly: { type: "tag", values: rules } }), kRules);
  return violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => `${state}: ${id} at ${target.join(" ")} (${failureSummary.split("\n")[1]?.trim()})`));
}

const close = (page) => page.page.evaluate(() => {
  const dialog = document.querySelector("dialog:modal");
  if (dialog) dialog.close();
  else document.getElementById("coach-close").click();
});
const choose_look = (page, look) => page.page.evaluate((name) => {
  const choice = document.getElementById("look");
  choice.value = name;
  choice.dispatchEvent(new Event("change"));
}, look);

const kDialogs = ["trouble", "budget", "clock", "guide", "coach", "causes", "parts", "measure", "cards", "typed", "test-tape", "table", "friend", "watch", "tapes", "use", "safety", "about"];

async function axe_finds_nothing(house) {
  const browser = await house.browser({ sound: [tone({ hz: 3036, seconds: 60, wow: [[7.6, 0.1], [1.3, 0.2]] })] });
  const page = await house.open_ready({ browser, width: 390, height: 844, touch: true });
  const faults = await faults_now(page, "start");
  await page.press("open-settings");
  faults.push(...(await faults_now(page, "settings")));
  await page.press("close-settings");
  await page.listen();
  await page.measured();
  for (const look of ["bench", "daylight"]) {
    await choose_look(page, look);
    faults.push(...(await faults_now(page, `listening, ${look}`)));
    for (const section of kDialogs) {
      await page.open_panel(section);
      await page.page.waitForTimeout(section === "guide" ? 500 : 50);
      faults.push(...(await faults_now(page, `${section}, ${look}`)));
      await close(page);
    }
  }
  await page.press("act-stop");
  await page.page.evaluate(() => document.querySelector("[data-act=act-song]").click());
  faults.push(...(await faults_now(page, "song bench")));
  none(faults, "against WCAG 2.2 AA, or good practice");
  house.note(`${2 * (kDialogs.length + 1) + 3} states`);
}

async function axe_finds_nothing_elsewhere(house) {
  const refused = await house.open_ready({ asks: true, width: 390, height: 844 });
  await refused.press("act-listen");
  await refused.phase("failed");
  const faults = await faults_now(refused, "microphone refused");
  const demo = await house.open_ready({});
  await demo.press("act-demo");
  await demo.measured();
  faults.push(...(await faults_now(demo, "demo")));
  await demo.page.goto(new URL("guide.html", demo.home).href);
  faults.push(...(await faults_now(demo, "the guide's page")));
  await demo.page.goto(new URL("notices.html", demo.home).href);
  faults.push(...(await faults_now(demo, "notices")));
  none(faults, "against WCAG 2.2 AA, or good practice");
}

// From the top by the tabulator: every control that can be seen gets its turn, and what has it shows it.
async function keyboard_reaches_everything(house) {
  const page = await house.open_ready({});
  await page.press("act-demo");
  await page.measured();
  const wanted = await page.page.evaluate(() => {
    const seen = [...document.querySelectorAll("button, select, input, a[href], #instrument")].filter((element) => element.checkVisibility() && !element.disabled && element.tabIndex >= 0);
    seen.forEach((element, i) => (element.dataset.tab = String(i)));
    document.activeElement?.blur();
    return seen.map((element) => element.id || element.textContent.trim());
  });
  const reached = new Set();
  const unseen = [];
  for (let i = 0; i < wanted.length + 5; ++i) {
    await page.page.keyboard.press("Tab");
    const at = await page.page.evaluate(() => {
      const { dataset } = document.activeElement;
      const { outlineStyle, outlineWidth } = getComputedStyle(document.activeElement);
      return { tab: dataset.tab, ring: outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 2 };
    });
    if (at.tab === undefined) continue;
    reached.add(at.tab);
    if (!at.ring) unseen.push(wanted[Number(at.tab)]);
  }
  none(wanted.filter((_, i) => !reached.has(String(i))), "not reached by the tabulator");
  none(unseen, "without a ring when it has the keyboard");
  house.note(`${wanted.length} controls`);
}

async function demo_by_keyboard(house) {
  const page = await house.open_ready({});
  await page.press("act-demo");
  await page.measured();
  const slider = page.page.locator("#trimmer");
  await slider.focus();
  const before = Number(await slider.inputValue());
  for (let i = 0; i < 36; ++i) await page.page.keyboard.press("ArrowLeft");
  same(Number(await slider.inputValue()).toFixed(2), (before - 1.8).toFixed(2), "the slider's place");
  await page.until("the machine to follow", (told) => Math.abs(number(told.reading.speed_error_percent)) < 0.6);
  await page.press("act-stop");
  await page.page.locator("#trim-field").waitFor({ state: "hidden" }); // it is offered with the demo alone
}

// Twice the size: the browser's zoom on a desktop, and text alone made twice as large.
async function twice_the_size(house) {
  const zoomed = await house.open_ready({ width: 640, height: 400, scale: 2 });
  const faults = (await zoomed.page.evaluate(layout_faults)).map((fault) => `zoomed: ${fault}`);
  await zoomed.press("act-demo");
  await zoomed.measured();
  faults.push(...(await zoomed.page.evaluate(layout_faults)).map((fault) => `zoomed, demo: ${fault}`));
  const large = await house.open_ready({ width: 820, height: 1180 });
  await large.page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
  faults.push(...(await large.page.evaluate(layout_faults)).map((fault) => `large text: ${fault}`));
  for (const section of ["use", "budget", "cards", "guide"]) {
    await large.open_panel(section);
    await large.page.waitForTimeout(section === "guide" ? 500 : 50);
    faults.push(...(await large.page.evaluate(layout_faults)).map((fault) => `large text, ${section}: ${fault}`));
    await close(large);
  }
  none(faults, "laid out badly at twice the size");
}

export const tests = [
  ["axe-core finds nothing, in every dialog, dark and light", axe_finds_nothing],
  ["axe-core finds nothing: refused, demo, guide, notices", axe_finds_nothing_elsewhere],
  ["the keyboard reaches every control and shows where it is", keyboard_reaches_everything],
  ["the demo's trimmer is turned by the keyboard", demo_by_keyboard],
  ["everything holds at twice the size", twice_the_size],
];
