// What the canvas draws as buttons, for who uses no pointer: each is a real one, the keyboard meets them in the order in
// which they are seen, and what they do is what a tap on the drawing does. And the drawing in large text.
import { check, none, same } from "../check.mjs";
import { layout_faults } from "../layout_faults.mjs";
import { tone } from "../sound.mjs";

// What can be pressed, in the page's order: the name of each, and where it lies.
const drawn = (page) => page.page.evaluate(() => [...document.querySelectorAll("#drawn button, #drawn input")].filter((made) => made.checkVisibility()).map((made) => {
  const { x, y, width, height } = made.getBoundingClientRect();
  return { id: made.dataset.drawn ?? made.id, name: made.ariaLabel ?? made.labels?.[0]?.textContent, pressed: made.ariaPressed, x, y, width, height };
}));
const until_drawn = (page, id, there = true) => page.page.waitForFunction(([wanted, is]) => (document.querySelector(`#drawn [data-drawn="${wanted}"]`) !== null) === is, [id, there], { polling: 50, timeout: 60_000 });

async function press(page, id, key = "Enter") {
  await until_drawn(page, id);
  await page.page.locator(`[data-drawn="${id}"]`).focus();
  await page.page.keyboard.press(key);
}
const value_of = (page, control, value) => page.page.waitForFunction(([name, wanted]) => document.getElementById(`control-${name}`).value === wanted, [control, value], { polling: 50, timeout: 20_000 });

async function demo(house, options) {
  const page = await house.open_ready(options);
  await page.press("act-demo");
  await page.measured();
  await until_drawn(page, "trim-minus");
  await page.page.waitForTimeout(400);
  return page;
}

// By the tabulator, beginning above the instrument; the hint's button comes and goes with the reading.
async function tab_goes_as_seen(house) {
  const tall = ["percent", "cents", "hz", "figure", "total", "ribbon", "trim-minus", "trimmer", "trim-plus"];
  for (const [width, height, wanted] of [
    [390, 844, tall],
    [844, 390, tall],
    [1280, 800, ["percent", "cents", "hz", "figure", "total", "trim-minus", "trimmer", "trim-plus", "quality", "ribbon", "spectrum"]],
  ]) {
    const page = await demo(house, { width, height });
    await page.page.locator("#open-settings").focus();
    const reached = [], ringless = [];
    for (let i = 0; i < 30; ++i) {
      await page.page.keyboard.press("Tab");
      const at = await page.page.evaluate(() => {
        const now = document.activeElement;
        if (!now.closest("#drawn")) return undefined;
        const { outlineStyle, outlineWidth } = getComputedStyle(now);
        return { id: now.dataset.drawn ?? now.id, ring: outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 2 };
      });
      if (at === undefined && reached.length > 0) break;
      if (at === undefined) continue;
      reached.push(at.id);
      if (!at.ring) ringless.push(at.id);
    }
    const lasting = reached.filter((id) => id !== "more" && id !== "safety");
    same(lasting.filter((id) => wanted.includes(id)).join(" "), wanted.join(" "), `at ${width} x ${height} the order`);
    none(ringless, "without a ring");
    none((await drawn(page)).filter(({ name }) => !name).map(({ id }) => id), "without a name");
    await page.page.close();
  }
}

async function enter_acts(house) {
  const page = await demo(house, {});
  await press(page, "cents");
  await value_of(page, "unit", "cents");
  await page.page.waitForFunction(() => document.querySelector('[data-drawn="cents"]').ariaPressed === "true" && document.querySelector('[data-drawn="percent"]').ariaPressed === "false", undefined, { polling: 50 });
  same(await page.page.evaluate(() => document.activeElement.dataset.drawn), "cents", "what has the keyboard");
  await press(page, "figure", "Space");
  await value_of(page, "unit", "hz");
  await press(page, "ribbon");
  await page.page.waitForFunction(() => document.getElementById("control-trace").value !== "steady", undefined, { polling: 50 });
  await press(page, "trim-minus");
  await page.page.waitForFunction(() => Number(document.getElementById("trimmer").value) < 1.8, undefined, { polling: 50 });
  await press(page, "total");
  await page.page.locator("dialog#budget:modal").waitFor();
  await page.page.keyboard.press("Escape");
  await press(page, "spectrum");
  await until_drawn(page, "to-speed");
  await press(page, "causes");
  await page.page.locator("dialog#causes:modal").waitFor();
  await page.page.keyboard.press("Escape");
  await press(page, "place");
  await press(page, "measure");
  await page.page.waitForFunction(() => !document.getElementById("measure-progress").hidden, undefined, { polling: 50 });
  await press(page, "to-speed");
  await until_drawn(page, "total");
}

// In German, by the button that is drawn beside the hint.
async function hint_is_answered(house) {
  const browser = await house.browser({ sound: [tone({ hz: 3155, seconds: 60, wow: [[7.6, 0.06]] })] });
  const page = await house.open_ready({ browser, locale: "de-DE", width: 390, height: 844 });
  await page.listen();
  await until_drawn(page, "choose-tone");
  const told = await drawn(page);
  same(told.find(({ id }) => id === "choose-tone").name.replaceAll("\u00a0", " "), "3150 Hz nutzen", "the button's name");
  await press(page, "choose-tone");
  await value_of(page, "tone", "3150");
  await until_drawn(page, "choose-tone", false);
  check(await page.page.evaluate(() => document.activeElement !== document.body), "the keyboard is nowhere");
}

async function trimmer_is_a_slider(house) {
  const page = await demo(house, { width: 390, height: 844 });
  const slider = page.page.getByRole("slider", { name: "The demo's trimmer" });
  await slider.focus();
  same(await slider.getAttribute("aria-valuetext"), "1.80 %", "where it stands");
  for (let i = 0; i < 4; ++i) await page.page.keyboard.press("ArrowRight");
  same(Number(await slider.inputValue()).toFixed(2), "2.00", "four steps on");
  await page.page.waitForFunction(() => document.getElementById("trimmer").ariaValueText === "2.00 %", undefined, { polling: 50 });
  await page.page.keyboard.press("ArrowLeft");
  await page.page.waitForFunction(() => document.getElementById("trimmer").ariaValueText === "1.95 %", undefined, { polling: 50 });
  // A drag across it turns the screw, and does not throw the slider to where the mouse is.
  const box = await slider.boundingBox();
  const centre = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  await page.page.mouse.move(centre.x, box.y + 10);
  await page.page.mouse.down();
  for (let i = 0; i <= 8; ++i) {
    const way = (Math.PI * i) / 16; // a quarter of a turn to the right
    await page.page.mouse.move(centre.x + (centre.y - box.y - 10) * Math.sin(way), centre.y - (centre.y - box.y - 10) * Math.cos(way));
    await page.frame();
  }
  await page.page.mouse.up();
  await page.page.waitForFunction(() => Math.abs(Number.parseFloat(document.getElementById("trimmer").ariaValueText) - 3.45) < 0.2, undefined, { polling: 50 });
}

// Names and places stay: nothing is told while the reading runs on.
async function costs_nothing_at_rest(house) {
  const page = await demo(house, { width: 390, height: 844 });
  await page.page.waitForTimeout(8000); // the hint's button has come
  const changes = await page.page.evaluate(() => new Promise((resolve) => {
    let count = 0;
    const observer = new MutationObserver((records) => (count += records.length));
    observer.observe(document.getElementById("drawn"), { subtree: true, childList: true, attributes: true });
    setTimeout(() => resolve(count), 3000);
  }));
  check(changes <= 12, `${changes} changes in three seconds`);
}

// A pointer meets what is drawn, once: not the drawing and its button one after the other.
async function a_tap_is_one(house) {
  for (const touch of [false, true]) {
    const page = await demo(house, { width: 390, height: 844, touch });
    for (const wanted of ["cents", "hz", "percent"]) {
      const { x, y, width, height } = (await drawn(page)).find(({ id }) => id === "figure");
      await (touch ? page.page.touchscreen.tap(x + width / 2, y + height / 2) : page.page.mouse.click(x + width / 2, y + height / 2));
      await value_of(page, "unit", wanted);
      await page.page.waitForTimeout(300);
      await value_of(page, "unit", wanted);
    }
    await page.page.close();
  }
}

// In the text's size of the browser, and as a page that is given twice its own: the drawing is twice as large and has the
// room for it. Nothing is cut off, nothing lies over another.
const overlaps = (a, b) => a.x < b.x + b.width - 1 && b.x < a.x + a.width - 1 && a.y < b.y + b.height - 1 && b.y < a.y + a.height - 1;

async function faults_in(page, state) {
  const faults = await page.page.evaluate(layout_faults);
  const all = await drawn(page);
  for (const [i, one] of all.entries()) for (const other of all.slice(i + 1)) if (overlaps(one, other)) faults.push(`${one.id} lies over ${other.id}`);
  const sheet = await page.page.locator("#sheet").boundingBox();
  for (const { id, x, y, width, height } of all) {
    if (x < sheet.x - 1 || y < sheet.y - 1 || x + width > sheet.x + sheet.width + 1 || y + height > sheet.y + sheet.height + 1) faults.push(`${id} is cut off`);
  }
  return faults.map((fault) => `${state}: ${fault}`);
}
const doubled = (page) => page.page.waitForFunction(() => document.getElementById("drawn").style.transform === "scale(2)", undefined, { polling: 50 });
const settled = async (page) => {
  await page.page.waitForTimeout(600);
  await page.frame();
};

async function large_text(house) {
  const faults = [];
  const browser = await house.browser({ flags: ["--blink-settings=defaultFontSize=32"] });
  for (const [width, height] of [[390, 844], [844, 390], [1280, 800]]) {
    for (const own of [true, false]) {
      const page = await house.open_ready({ width, height, touch: width < 1000, ...(own ? { browser } : {}) });
      if (!own) await page.page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
      await doubled(page);
      const at = `${width}x${height}${own ? " of the browser" : ""}`;
      faults.push(...(await faults_in(page, `${at}, start`)));
      await page.press("act-demo");
      await page.measured();
      await settled(page);
      faults.push(...(await faults_in(page, `${at}, demo`)));
      await page.press("act-flutter");
      await until_drawn(page, "to-speed");
      await settled(page);
      faults.push(...(await faults_in(page, `${at}, flutter`)));
      await page.press("open-coach");
      await settled(page);
      faults.push(...(await faults_in(page, `${at}, coach`)));
      await page.page.close();
    }
  }
  none([...new Set(faults)], "laid out badly");
}

// Twice as large as in text of the usual size, as far as the width lets it.
async function figure_stays_in_sight(house) {
  const page = await house.open_ready({ width: 390, height: 844, touch: true });
  await page.page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
  await doubled(page);
  await page.press("act-demo");
  await page.measured();
  await settled(page);
  await page.page.locator('[data-drawn="figure"]').scrollIntoViewIfNeeded();
  const { height, bottom } = await page.page.evaluate(() => {
    document.querySelector('[data-drawn="figure"]').scrollIntoView({ block: "nearest" });
    const total = document.querySelector('[data-drawn="total"]');
    total.scrollIntoView({ block: "nearest" });
    return { height: document.getElementById("stage").scrollHeight, bottom: total.getBoundingClientRect().bottom - document.getElementById("acts").getBoundingClientRect().top };
  });
  check(height > 900, `the stage is ${height} px high`);
  check(bottom <= 1, "what begins and ends a measurement lies over the figure");
  // Back at the usual size it is as it was.
  await page.page.evaluate(() => (document.documentElement.style.fontSize = ""));
  await page.page.waitForFunction(() => document.getElementById("drawn").style.transform === "" && document.getElementById("stage").style.minHeight === "", undefined, { polling: 50 });
}

export const tests = [
  ["drawn controls: the tabulator goes as they are seen", tab_goes_as_seen],
  ["drawn controls: Enter and Space do what a tap does", enter_acts],
  ["drawn controls: the hint's button, in German", hint_is_answered],
  ["drawn controls: the trimmer is a slider", trimmer_is_a_slider],
  ["drawn controls: nothing is told while nothing changes", costs_nothing_at_rest],
  ["drawn controls: a tap is one tap", a_tap_is_one],
  ["laid out well with text twice as large", large_text],
  ["text twice as large: the figure is in sight", figure_stays_in_sight],
];
