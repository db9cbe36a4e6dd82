// Browsers that lack something: the page says what, and does what it can.
import { check, near, number, same } from "../check.mjs";
import { tone } from "../sound.mjs";

const missing = (page) => page.page.locator("#missing").innerText();
const kTone = () => [tone({ hz: 3015, seconds: 4 })];

async function says_webassembly_is_missing(house) {
  const page = await house.open({ before: (context) => context.addInitScript(() => delete globalThis.WebAssembly), expect_errors: true });
  await page.message(/could not be loaded/);
  check(/Missing here: WebAssembly\./.test(await missing(page)), await missing(page));
}

async function measures_without_webgl(house) {
  const page = await house.open_ready({
    sound: kTone(),
    before: (context) =>
      context.addInitScript(() => {
        const get = HTMLCanvasElement.prototype.getContext;
        HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
          return /^webgl/.test(kind) ? null : get.call(this, kind, ...rest);
        };
      }),
    expect_errors: true,
  });
  check(/Missing here: WebGL 2\./.test(await missing(page)), await missing(page));
  await page.listen();
  const told = await page.measured();
  near(number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");
  const seen = page.page.locator("#reading dd[data-field=speed_error_percent]");
  check(await seen.isVisible(), "the reading is not told as text");
  const box = await seen.boundingBox();
  check(box.width > 30 && box.height > 10, `the reading is drawn ${box.width} by ${box.height}`);
}

// The style sheet broke off on the way, and the browser names a language by what is no tag.
async function runs_without_its_style_sheet(house) {
  const page = await house.open_ready({
    before: async (context) => {
      await context.route("**/index.css", (route) => route.abort());
      await context.addInitScript(() => Object.defineProperty(navigator, "languages", { get: () => ["en-US@posix", "en-US"] }));
    },
    expect_errors: true,
  });
  await page.press("act-demo");
  const told = await page.measured();
  near(number(told.reading.speed_error_percent), 1.8, 0.1, "the demo's speed error");
}

async function says_audio_worklet_is_missing(house) {
  const page = await house.open_ready({ sound: kTone(), before: (context) => context.addInitScript(() => delete globalThis.AudioWorkletNode) });
  check(/Missing here: AudioWorklet\./.test(await missing(page)), await missing(page));
  await page.press("act-listen");
  await page.failed(/^This browser cannot hand over sound unchanged\./);
  await page.open_file(house.file("tone.wav", house.wav_of(kTone())));
  same((await page.phase("file_shown")).reading.status, "measured", "a file all the same");
}

async function says_the_address_is_insecure(house) {
  const { address } = await house.serve();
  const insecure = address.replace("localhost", "bench.test");
  const page = await house.open_ready({
    address: insecure,
    sound: kTone(),
    flags: ["--host-resolver-rules=MAP bench.test 127.0.0.1 , MAP * ~NOTFOUND , EXCLUDE localhost"],
  });
  check(/Missing here: a secure address\./.test(await missing(page)), await missing(page));
  await page.press("act-listen");
  await page.failed(/^A browser gives the microphone only to a secure page\./);
  await page.open_file(house.file("tone.wav", house.wav_of(kTone())));
  same((await page.phase("file_shown")).reading.status, "measured", "a file all the same");
}

async function says_script_is_off(house) {
  const page = await house.open({ java_script: false });
  check(await page.page.locator("noscript p").isVisible(), "nothing is said");
  check(await page.page.locator("h1").isVisible(), "no title");
}

// Everything but the program has come: what the page is for and a button are there, and an early tap counts.
async function greets_before_the_program_has_come(house) {
  let release;
  const held = new Promise((resolve) => (release = resolve));
  const page = await house.open({
    sound: kTone(),
    before: async (context) => {
      await context.route("**/four76.wasm", async (route) => {
        await held;
        await route.continue();
      });
    },
  });
  await page.page.locator("#welcome h1").waitFor();
  await page.page.locator("#welcome button", { hasText: "Listen" }).click();
  await page.message(/still loading/);
  release();
  const told = await page.measured();
  near(number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");
}

// A recording is dropped onto a page whose fonts are slow: its Worker is ready before the program is.
async function takes_a_file_before_the_program_has_come(house) {
  const page = await house.open({
    before: (context) => context.addInitScript(() => {
      if (isSecureContext) localStorage.setItem("four76.tone", "3150"); // the tone of the last visit; not on the blank page
      const Plain = globalThis.Worker;
      globalThis.Worker = class extends Plain {
        constructor(...rest) {
          super(...rest);
          this.addEventListener("message", ({ data }) => (globalThis.measured ||= Boolean(data.snapshot)));
        }
      };
      const fetch_now = globalThis.fetch, held = new Promise((resolve) => (globalThis.release = resolve));
      globalThis.fetch = (what, ...how) => (String(what).endsWith(".otf") ? held.then(() => fetch_now(what, ...how)) : fetch_now(what, ...how));
    }),
  });
  const bytes = house.wav_of([tone({ hz: 3165.75, seconds: 4, carrier_to_noise_dbhz: 70 })]).toString("base64");
  await page.page.evaluate((text) => {
    const file = new File([Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))], "early.wav");
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(file);
    document.body.dispatchEvent(new DragEvent("drop", { dataTransfer, bubbles: true, cancelable: true }));
  }, bytes);
  await page.page.waitForFunction(() => globalThis.measured, undefined, { polling: 50, timeout: 30_000 });
  await page.page.evaluate(() => globalThis.release());
  const told = await page.phase("file_shown");
  near(number(told.reading.speed_error_percent), 0.5, 0.01, "speed error");
}

export const tests = [
  ["without WebAssembly the page says so", says_webassembly_is_missing],
  ["without WebGL 2 the reading is told as text", measures_without_webgl],
  ["without its style sheet the page measures", runs_without_its_style_sheet],
  ["without AudioWorklet the page says so, and measures files", says_audio_worklet_is_missing],
  ["at an insecure address the page says so, and measures files", says_the_address_is_insecure],
  ["without JavaScript the page says so", says_script_is_off],
  ["the page greets before its program has come, and an early tap counts", greets_before_the_program_has_come],
  ["a recording that is dropped before the program has come is measured", takes_a_file_before_the_program_has_come],
];
