// Chromium, by the driver that the browser tests use, with the rig's source for its microphone.
import { join } from "node:path";
import { launch } from "../browser/chromium.mjs";
import { DrivenPage } from "./driven_page.mjs";

export class Chromium extends DrivenPage {
  static title = "Chromium";

  async start({ folder, env }) {
    const downloads = this.downloads_in(folder);
    this.browser = await launch({ microphone: "system", whole: true, env: { ...process.env, ...env } });
    const context = await this.browser.newContext({ viewport: { width: 1280, height: 800 } });
    this.page = await context.newPage();
    this.page.on("download", (download) => download.saveAs(join(downloads, download.suggestedFilename())));
  }

  upload(selector, path) {
    return this.page.setInputFiles(selector, path);
  }
}
