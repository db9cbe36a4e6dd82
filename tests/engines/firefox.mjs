// Firefox ESR, by WebDriver BiDi. It draws with WebGL only where there is a screen.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import puppeteer from "puppeteer-core";

const kExecutable = process.env.FOUR76_FIREFOX ?? "/usr/bin/firefox-esr";
const kPreferences = {
  "media.navigator.permission.disabled": true, // nobody is there to be asked
  "browser.download.folderList": 2,
  "browser.download.useDownloadDir": true,
  "browser.download.always_ask_before_handling_new_types": false,
  "webgl.force-enabled": true, // drawn by the processor: slow, but drawn
};

export class Firefox {
  static title = "Firefox";
  static needs_display = true;
  #browser;
  #page;

  async start({ folder, env }) {
    this.downloads = join(folder, "downloads");
    mkdirSync(this.downloads, { recursive: true });
    this.#browser = await puppeteer.launch({
      browser: "firefox",
      executablePath: kExecutable,
      headless: false,
      env: { ...process.env, ...env },
      extraPrefsFirefox: { ...kPreferences, "browser.download.dir": this.downloads },
      defaultViewport: { width: 1280, height: 800 },
      protocolTimeout: 150_000,
    });
    [this.#page] = await this.#browser.pages();
  }
  async close() {
    await this.#browser?.close();
  }

  open(url) {
    return this.#page.goto(url);
  }
  reload() {
    return this.#page.reload();
  }
  evaluate(fn, argument) {
    return this.#page.evaluate(fn, argument);
  }
  click(selector) {
    return this.#page.click(selector);
  }
  select(selector, value) {
    return this.#page.select(selector, value);
  }
  async upload(selector, path) {
    await (await this.#page.$(selector)).uploadFile(path);
  }
  screenshot(path) {
    return this.#page.screenshot({ path });
  }
}
