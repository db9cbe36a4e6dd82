// House: what a test is given. It opens browsers, servers and files, and takes all of them down after the test.
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { check } from "./check.mjs";
import { launch, watch } from "./chromium.mjs";
import { Instrument, kLoading } from "./instrument.mjs";
import { serve } from "./server.mjs";
import { kMicrophoneHz } from "./sound.mjs";
import { wav } from "./wav.mjs";

// Starting a browser takes seconds: tests that want nothing special of it share one, each in a context of its own. Those with
// sound on the microphone share another: it reads its file anew each time that a page begins to listen.
// One that has served long is let go: a browser that draws without a graphics card grows and dies at last.
const kMostContexts = 40;
class Shared {
  #options;
  #browser;
  #contexts = 0;
  constructor(options) {
    this.#options = options;
  }
  async get() {
    if (!this.#browser?.isConnected()) {
      this.#browser = await launch(this.#options);
      this.#contexts = 0;
    }
    this.#contexts += 1;
    return this.#browser;
  }
  async close() {
    await this.#browser?.close();
  }
  async spare() {
    if (this.#contexts >= kMostContexts && this.#browser.isConnected()) await this.close();
  }
}

export class PlainBrowsers {
  #folder = mkdtempSync(join(tmpdir(), "four76-"));
  #sound = join(this.#folder, "microphone.wav");
  #silent = new Shared({});
  #hearing = new Shared({ microphone: this.#sound });
  get() {
    return this.#silent.get();
  }
  with_sound(bytes) {
    writeFileSync(this.#sound, bytes);
    return this.#hearing.get();
  }
  async close() {
    await this.#silent.close();
    await this.#hearing.close();
    rmSync(this.#folder, { recursive: true, force: true });
  }
  // Between two tests.
  async spare() {
    await this.#silent.spare();
    await this.#hearing.spare();
  }
}

// Ahead of the page's scripts: ten pictures a second. To draw without a graphics card takes more than to measure.
const kPictureMs = 100;
function draws_seldom(context) {
  return context.addInitScript((rest_ms) => {
    const next_frame = (globalThis.next_frame = requestAnimationFrame.bind(globalThis));
    let waiting = [];
    let rests = false;
    const draw = (now) => {
      rests = true;
      setTimeout(() => {
        rests = false;
        if (waiting.length > 0) next_frame(draw);
      }, rest_ms);
      const due = waiting;
      waiting = [];
      for (const callback of due) callback(now);
    };
    globalThis.requestAnimationFrame = (callback) => {
      if (waiting.push(callback) === 1 && !rests) next_frame(draw);
      return 0;
    };
  }, kPictureMs);
}

// Nothing is kept for use without the server: what keeps it never comes to its end.
function keeps_nothing(context) {
  return context.addInitScript(() => {
    if (navigator.serviceWorker) navigator.serviceWorker.register = () => new Promise(() => {});
  });
}

// The service worker has taken the page, and keeps it.
export async function kept_offline(page) {
  await page.page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    if (!navigator.serviceWorker.controller) await new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }));
  });
}

export class House {
  #open = [];  // what is to be taken down, the last first
  notes = [];  // figures worth printing beside the test's name

  // pictures: those that are taken, for eyes to look at, are drawn in full.
  constructor(site, plain, pictures) {
    this.site = site;
    this.plain = plain;
    this.pictures = pictures;
    this.folder = mkdtempSync(join(tmpdir(), "four76-"));
    this.#open.push(() => rmSync(this.folder, { recursive: true, force: true }));
  }

  note(text) {
    this.notes.push(text);
  }
  file(name, bytes) {
    const path = join(this.folder, name);
    writeFileSync(path, bytes);
    return path;
  }
  wav_of(sound) {
    return wav(sound, kMicrophoneHz);
  }
  async serve(folder = this.site, base = "/") {
    const server = await serve(folder, base);
    let running = true;
    const stop = async () => {
      if (running) await server.stop();
      running = false;
    };
    this.#open.push(stop);
    return { address: server.address, stop };
  }

  // A browser with these channels of sound on its microphone.
  async browser({ sound, microphone, ...options } = {}) {
    const plain = !microphone && Object.keys(options).length === 0;
    if (plain) return sound ? this.plain.with_sound(this.wav_of(sound)) : this.plain.get();
    const file = sound ? this.file(`microphone${this.#open.length}.wav`, this.wav_of(sound)) : microphone;
    const browser = await launch({ microphone: file, ...options });
    this.#open.push(() => browser.close());
    return browser;
  }

  // The page, opened in a fresh context. before(context) runs ahead of the page's own scripts. Where the picture is of no
  // matter it is drawn small and seldom; where the server is not the test's own, nothing is kept for use without it.
  async open({ address, browser: running, fragment = "", width = 1280, height = 800, scale = 0.5, touch = false, java_script = true, before, expect_errors = false, locale, look = "dark", motion = false, ...options } = {}) {
    const home = address ?? (await this.serve()).address;
    const browser = running ?? (await this.browser(options));
    const context = await browser.newContext({
      viewport: { width, height },
      deviceScaleFactor: scale,
      hasTouch: touch,
      isMobile: touch,
      javaScriptEnabled: java_script,
      colorScheme: look,
      reducedMotion: motion ? "no-preference" : "reduce",
      locale,
    });
    this.#open.push(() => context.close());
    await watch(context, new URL(home).origin, expect_errors);
    if (!motion) await draws_seldom(context);
    if (!address) await keeps_nothing(context);
    await before?.(context);
    const page = await context.newPage();
    await page.goto(home + fragment);
    const instrument = new Instrument(page);
    instrument.home = home;
    return instrument;
  }
  // As open(), and the program runs.
  async open_ready(options) {
    const instrument = await this.open(options);
    const loads = (now) => kLoading.test(now.status_line);
    const told = await instrument.until("the program to run", (now) => !loads(now) || now.messages.length > 0);
    check(!loads(told), `the program does not run: ${told.messages.join(" ")}`);
    return instrument;
  }

  // A page that was opened once, and whose server is gone since.
  async open_without_server() {
    const server = await this.serve();
    const page = await this.open_ready({ address: server.address });
    await kept_offline(page);
    await server.stop();
    return { page, address: server.address };
  }

  async close() {
    for (const end of this.#open.reverse()) await end();
  }
}
