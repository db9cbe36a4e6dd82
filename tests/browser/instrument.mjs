// The page as a person meets it: what it says, and its buttons.
import { setTimeout as wait } from "node:timers/promises";

export class TimedOut extends Error {}

const kPatienceMs = 60_000; // long: the machine may be busy; a test that passes does not wait for it
export const kLoading = /Loading|Wird geladen|Lädt|Cargando/; // the status line until the program runs, in whatever language

export class Instrument {
  constructor(page) {
    this.page = page;
  }

  // Everything that the page tells in HTML.
  told() {
    return this.page.evaluate(() => {
      const fields = (list, channel) =>
        Object.fromEntries([...list.querySelectorAll(channel ? `dd[data-channel="${channel}"]` : "dd")].map((cell) => [cell.dataset.field, cell.dataset.value]));
      const words = (list) => Object.fromEntries([...list.querySelectorAll("dd")].map((cell) => [cell.dataset.field, cell.textContent]));
      const reading = document.getElementById("reading");
      const channels = document.getElementById("reading-channels");
      return {
        phase: reading.dataset.phase ?? document.getElementById("app").dataset.phase,
        channel: reading.dataset.channel ?? "",
        reading: fields(reading),
        words: words(reading),
        left: fields(channels, "left"),
        right: fields(channels, "right"),
        agree: reading.dataset.channelsAgree ?? "",
        status_line: document.getElementById("status-line").textContent,
        processing: document.getElementById("processing").textContent,
        messages: [...document.querySelectorAll("#messages .message")].map((message) => `${message.dataset.weight}: ${message.innerText}`),
      };
    });
  }

  // Waits until test(told) is true, and returns what was told then.
  async until(what, test, patience_ms = kPatienceMs) {
    const end = Date.now() + patience_ms;
    let told;
    do {
      told = await this.told();
      if (await test(told)) return told;
      await wait(100);
    } while (Date.now() < end);
    throw new TimedOut(`waited in vain for ${what}; told: ${JSON.stringify(told)}`);
  }
  runs() {
    return this.until("the program to run", (told) => !kLoading.test(told.status_line));
  }
  async reload() {
    await this.frame(); // with which the page keeps what was set
    await this.page.reload();
    return this.runs();
  }
  phase(phase) {
    return this.until(`phase ${phase}`, (told) => told.phase === phase);
  }
  measured() {
    return this.until("a measured reading", (told) => told.reading.status === "measured" && told.reading.u95_percent !== "");
  }
  message(pattern) {
    return this.until(`a message ${pattern}`, (told) => told.messages.some((message) => pattern.test(message)));
  }

  // What failed is said by the instrument and its mirror, what to do by a message: each once.
  failed(what, todo = /./) {
    return this.until(`to fail: ${what}`, (told) =>
      told.phase === "failed" && what.test(told.words.status) && told.messages.some((message) => message.startsWith("fault: ") && todo.test(message) && !what.test(message)));
  }

  // The panels to be read, by whatever button leads there first, seen or not; and what an element of theirs says.
  open_panel(section) {
    return this.page.evaluate((name) => document.querySelector(`[data-help="${name}"]`).click(), section);
  }
  // The card stands beside the instrument where there is room: that stays.
  async close_panel() {
    const open = this.page.locator("dialog:modal [data-close]").first();
    if ((await open.count()) > 0) await open.click();
  }
  until_text(id, pattern, patience_ms = kPatienceMs) {
    const says = ([name, source]) => new RegExp(source).test(document.getElementById(name).textContent.replaceAll("\u00a0", " "));
    return this.page.waitForFunction(says, [id, pattern.source], { polling: 100, timeout: patience_ms });
  }

  // Until the page has drawn anew, and done all that it does then.
  frame() {
    return this.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  }

  press(id) {
    return this.page.locator(`#${id}`).click();
  }
  press_in_messages(name) {
    return this.page.locator("#messages button", { hasText: name }).click();
  }
  async listen() {
    await this.press("act-listen");
    await this.phase("listening");
  }
  // Stops, and takes what is held off the dial.
  async stop() {
    await this.press("act-stop");
    const { phase } = await this.until("nothing to run", (told) => told.phase === "held" || told.phase === "idle");
    if (phase === "held") await this.press("act-clear");
    return this.phase("idle");
  }
  // What stands in the menu is used there.
  async in_menu(act) {
    const shut = await this.page.evaluate(() => !document.getElementById("settings").classList.contains("open"));
    if (shut) await this.press("open-settings");
    await act();
    const open = await this.page.evaluate(() => document.getElementById("settings").classList.contains("open"));
    if (shut && open) await this.press("close-settings");
  }
  async choose(control, value) {
    if (value === "own") { // asks for a number, over the menu
      await this.page.evaluate(() => document.getElementById("settings").classList.contains("open") || document.getElementById("open-settings").click());
      return this.page.locator(`#control-${control}`).selectOption(value);
    }
    return this.in_menu(() => this.page.locator(`#control-${control}`).selectOption(value));
  }
  async open_file(file) {
    const chooser = this.page.waitForEvent("filechooser");
    await this.press("act-open-file");
    await (await chooser).setFiles(file);
  }

  // Every value that the mirror takes over so long, each time that it is told: [{at_ms, status, ...}].
  watch_readings(ms) {
    return this.page.evaluate(
      (length) =>
        new Promise((resolve) => {
          const list = document.getElementById("reading");
          const rows = [];
          const spoken_ms = [];
          const observer = new MutationObserver((records) => {
            const at_ms = performance.now();
            if (records.some((record) => record.type === "attributes")) {
              const row = { at_ms };
              for (const cell of list.querySelectorAll("dd")) row[cell.dataset.field] = cell.dataset.value;
              rows.push(row);
            }
            if (records.some((record) => record.type === "childList")) spoken_ms.push(at_ms);
          });
          observer.observe(list, { subtree: true, childList: true, attributes: true, attributeFilter: ["data-value"] });
          setTimeout(() => {
            observer.disconnect();
            resolve({ rows, spoken_ms });
          }, length);
        }),
      ms,
    );
  }
}
