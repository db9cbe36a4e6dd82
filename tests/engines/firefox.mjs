// Firefox ESR, by WebDriver BiDi. It draws with WebGL only where there is a screen.
import puppeteer from "puppeteer-core";
import { DrivenPage } from "./driven_page.mjs";

const kExecutable = process.env.FOUR76_FIREFOX ?? "/usr/bin/firefox-esr";
const kPreferences = {
  "media.navigator.permission.disabled": true, // nobody is there to be asked
  "browser.download.folderList": 2,
  "browser.download.useDownloadDir": true,
  "browser.download.always_ask_before_handling_new_types": false,
  "webgl.force-enabled": true, // drawn by the processor: slow, but drawn
};

export class Firefox extends DrivenPage {
  static title = "Firefox";

  async start({ folder, env }) {
    this.browser = await puppeteer.launch({
      browser: "firefox",
      executablePath: kExecutable,
      headless: false,
      env: { ...process.env, ...env },
      extraPrefsFirefox: { ...kPreferences, "browser.download.dir": this.downloads_in(folder) },
      defaultViewport: { width: 1280, height: 800 },
      protocolTimeout: 150_000,
    });
    [this.page] = await this.browser.pages();
  }

  async upload(selector, path) {
    await (await this.page.$(selector)).uploadFile(path);
  }
}
