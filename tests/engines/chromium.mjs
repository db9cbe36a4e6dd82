// Chromium, by the driver that the browser tests use, with the rig's source for its microphone.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { launch } from "../browser/chromium.mjs";

export class Chromium {
  static title = "Chromium";
  static needs_display = false;
  #browser;
  #page;

  async start({ folder, env }) {
    this.downloads = join(folder, "downloads");
    mkdirSync(this.downloads, { recursive: true });
    this.#browser = await launch({ microphone: "system", env: { ...process.env, ...env } });
    const context = await this.#browser.newContext({ viewport: { width: 1280, height: 800 } });
    this.#page = await context.newPage();
    this.#page.on("download", (download) => download.saveAs(join(this.downloads, download.suggestedFilename())));
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
  // An argument or none, as the page takes it.
  evaluate(fn, argument) {
    return this.#page.evaluate(fn, argument);
  }
  click(selector) {
    return this.#page.click(selector);
  }
  select(selector, value) {
    return this.#page.selectOption(selector, value);
  }
  upload(selector, path) {
    return this.#page.setInputFiles(selector, path);
  }
  screenshot(path) {
    return this.#page.screenshot({ path });
  }
}
