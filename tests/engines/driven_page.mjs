// A browser that is driven by its pages' own driver, Playwright's or Puppeteer's: what the two have alike. Each engine adds
// how it is started, and what its driver does in a way of its own.
import { mkdirSync } from "node:fs";
import { join } from "node:path";

export class DrivenPage {
  browser; // both are set by start()
  page;

  // Where the engine puts what a page saves.
  downloads_in(folder) {
    this.downloads = join(folder, "downloads");
    mkdirSync(this.downloads, { recursive: true });
    return this.downloads;
  }
  async close() {
    await this.browser?.close();
  }

  open(url) {
    return this.page.goto(url);
  }
  reload() {
    return this.page.reload();
  }
  // An argument or none, as the page takes it.
  evaluate(fn, argument) {
    return this.page.evaluate(fn, argument);
  }
  click(selector) {
    return this.page.click(selector);
  }
  screenshot(path) {
    return this.page.screenshot({ path });
  }
}
