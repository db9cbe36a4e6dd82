// WebKitGTK: its MiniBrowser, driven by WebKitWebDriver. It draws on a screen alone and wants a message bus of its own.
import { existsSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { machine } from "node:os";
import { join } from "node:path";
import { ready } from "./processes.mjs";
import { WebDriver } from "./webdriver.mjs";

// The program lies in a folder of the library's, whose name holds the library's version.
function mini_browser() {
  const libraries = `/usr/lib/${machine()}-linux-gnu`;
  const found = readdirSync(libraries).filter((name) => /^webkit2?gtk-/.test(name)).sort().map((name) => join(libraries, name, "MiniBrowser"));
  return found.filter(existsSync).at(-1);
}

function free_port() {
  return new Promise((resolve, reject) => {
    const server = createServer().on("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

export class WebKit {
  static title = "WebKitGTK";
  #processes;
  #service;
  #driver;

  async start({ folder, env, processes }) {
    const binary = mini_browser();
    if (!binary) throw new Error("there is no MiniBrowser: apt-get install webkit2gtk-driver");
    this.downloads = join(folder, "downloads");
    mkdirSync(this.downloads, { recursive: true });
    mkdirSync(join(folder, ".config"), { recursive: true });
    writeFileSync(join(folder, ".config", "user-dirs.dirs"), `XDG_DOWNLOAD_DIR="${this.downloads}"\n`);
    this.#processes = processes;
    const port = await free_port();
    this.#service = processes.start("dbus-run-session", ["--", "WebKitWebDriver", `--port=${port}`], { env });
    const address = `http://127.0.0.1:${port}`;
    const answers = () => fetch(`${address}/status`).then((response) => response.ok, () => false);
    await ready(this.#service, "WebKitWebDriver", answers);
    const driver = new WebDriver(address);
    await driver.begin({ "webkitgtk:browserOptions": { binary, args: ["--automation"] } });
    this.#driver = driver;
    await driver.size(1280, 900);
  }
  async close() {
    await this.#driver?.end();
    if (this.#service) await this.#processes.end(this.#service);
  }

  open(url) {
    return this.#driver.open(url);
  }
  reload() {
    return this.#driver.reload();
  }
  evaluate(fn, argument) {
    return this.#driver.run(fn, [argument]);
  }
  click(selector) {
    return this.#driver.click(selector);
  }
  upload(selector, path) {
    return this.#driver.type(selector, path);
  }
  async screenshot(path) {
    writeFileSync(path, await this.#driver.picture());
  }
}
