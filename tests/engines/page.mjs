// Page: what the page says and its buttons, in whatever engine. It needs of a driver only what all of them can do.
import { Instrument, TimedOut } from "../browser/instrument.mjs";

const kPausedMs = 15_000;

export class Page extends Instrument {
  // `driver` is a Chromium, Firefox or WebKit of this folder.
  constructor(driver) {
    super(driver);
    this.driver = driver;
  }

  runs() {
    return this.until("the program to run", (told) => !/Loading/.test(told.status_line));
  }
  async reload() {
    await this.driver.reload();
    await this.runs();
  }

  // On a busy computer an engine may pause the sound and not go on. The page says so and what to do; it is done.
  async listen() {
    await super.listen();
    try {
      await this.until("sound", (told) => told.reading.level_dbfs !== "", kPausedMs);
    } catch (error) {
      if (!(error instanceof TimedOut) || !/tap Stop, then Listen/.test(await this.text("#reading [data-field=status]"))) throw error;
      await this.press("act-stop");
      await super.listen();
    }
  }

  press(id) {
    return this.driver.click(`#${id}`);
  }
  choose(control, value) {
    return this.driver.select(`#control-${control}`, value);
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
