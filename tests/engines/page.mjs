// Page: what the page says and its buttons, in whatever engine. It needs of a driver only what all of them can do.
import { setTimeout as wait } from "node:timers/promises";
import { Instrument, TimedOut } from "../browser/instrument.mjs";

const kPausedMs = 15_000;

export class Page extends Instrument {
  // `driver` is a Chromium, Firefox or WebKit of this folder.
  constructor(driver) {
    super(driver);
    this.driver = driver;
  }

  // On a busy computer an engine may pause the sound and not go on. The page says so and what to do; it is done.
  async listen() {
    await super.listen();
    const paused = (told) => /tap Stop, then Listen/.test(told.words.status);
    const told = await this.until("sound, or why there is none", (now) => now.reading.level_dbfs !== "" || now.reading.reasons !== "" || paused(now), kPausedMs).catch((error) => {
      if (!(error instanceof TimedOut)) throw error;
    });
    if (!told || !paused(told)) return; // what a test waits for, it will say itself
    await wait(kPausedMs); // it may go on by itself
    if (!paused(await this.told())) return;
    await this.press("act-stop");
    await super.listen();
  }

  press(id) {
    return this.driver.click(`#${id}`);
  }
  // In the menu, whose choices WebKit's driver cannot scroll to: chosen as the browser tells a script of it.
  choose(control, value) {
    return this.driver.evaluate(([id, wanted]) => {
      const select = document.getElementById(id);
      document.getElementById("open-settings").click();
      select.value = wanted;
      select.dispatchEvent(new Event("change"));
      document.getElementById("close-settings").click();
    }, [`control-${control}`, value]);
  }
  // The act opens the browser's own dialog, which a driver leaves closed; the file is then given as if chosen in it.
  async give_file(act, file) {
    await this.driver.evaluate(() => {
      const input = document.getElementById("file-input");
      input.dataset.asked = "";
      input.addEventListener("click", () => (input.dataset.asked = "yes"), { once: true });
    });
    await this.press(act);
    await this.until("the dialog to be opened", () => this.driver.evaluate(() => document.getElementById("file-input").dataset.asked === "yes"));
    await this.driver.upload("#file-input", file);
  }
  text(selector) {
    return this.driver.evaluate((name) => document.querySelector(name).textContent.replaceAll("\u00a0", " "), selector);
  }
  seen(selector) {
    return this.driver.evaluate((name) => document.querySelector(name).checkVisibility(), selector);
  }
  until_seen(selector) {
    return this.until(`${selector} to be seen`, () => this.seen(selector));
  }
  // As if typed and left.
  enter(selector, value) {
    return this.driver.evaluate(([name, text]) => {
      const field = document.querySelector(name);
      field.value = text;
      field.dispatchEvent(new Event("change"));
    }, [selector, value]);
  }
}
