// Bench: what a case is given: an engine that is open, the rig that plays to it, servers and files. What a case began is
// taken down after it; the engine stays.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { serve } from "../browser/server.mjs";
import { Page } from "./page.mjs";

export class Bench {
  #site;
  #folder;
  #rig;
  #servers = [];
  notes = [];  // figures worth printing beside the case's name

  constructor({ site, folder, rig, driver }) {
    this.#site = site;
    this.#folder = folder;
    this.#rig = rig;
    this.driver = driver;
    mkdirSync(folder, { recursive: true });
  }

  note(text) {
    this.notes.push(text);
  }
  file(name, bytes) {
    const path = join(this.#folder, name);
    writeFileSync(path, bytes);
    return path;
  }
  play(channels, how) {
    this.#rig.play(channels, how);
  }

  // The page, from a server of its own: an origin that nothing was kept for. server.stop() leaves it alone.
  async open() {
    const server = await serve(this.#site);
    this.#servers.push(server);
    await this.driver.open(server.address);
    const page = new Page(this.driver);
    await page.runs();
    return { page, server };
  }

  // What the page saved under such a name, read as JSON; nothing until all of it is there.
  saved(pattern) {
    const name = readdirSync(this.driver.downloads).find((found) => pattern.test(found));
    try {
      return name && JSON.parse(readFileSync(join(this.driver.downloads, name), "utf8"));
    } catch {
      return undefined; // it is still being written
    }
  }

  async close() {
    await this.#rig.silence();
    await this.driver.open("about:blank"); // the microphone is let go
    for (const server of this.#servers) await server.stop();
  }
}

