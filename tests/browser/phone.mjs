// How the page does on a slow phone: a processor four times slower, and "slow 4G" (1.6 Mbit/s, 150 ms there and back: common
// practice of page tests). Prints figures and judges none: they depend on the machine. Needs build/site.
//
//   node tests/browser/phone.mjs
import { createServer } from "node:http";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { launch } from "./chromium.mjs";
import { Instrument } from "./instrument.mjs";
import { kMicrophoneHz, tone } from "./sound.mjs";
import { wav } from "./wav.mjs";

const kSlower = 4;
const kSlow4g = { offline: false, latency: 150, downloadThroughput: 1.6e6 / 8, uploadThroughput: 0.75e6 / 8 };
const kSeconds = 10;
const kTypes = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".wasm": "application/wasm", ".otf": "font/otf", ".svg": "image/svg+xml", ".png": "image/png", ".txt": "text/plain", ".webmanifest": "application/manifest+json" };
const site = fileURLToPath(new URL("../../build/site/", import.meta.url));

// As a static host serves it: compressed.
function serve() {
  const server = createServer((request, response) => {
    const name = new URL(request.url, "http://localhost").pathname.slice(1) || "index.html";
    try {
      const body = gzipSync(readFileSync(join(site, name)));
      response.writeHead(200, { "content-type": kTypes[extname(name)] ?? "application/octet-stream", "content-encoding": "gzip", "cache-control": "no-store" });
      response.end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  return new Promise((resolve) => server.listen(0, "127.0.0.1", () => resolve(server)));
}

async function slow_page(browser, { network, pixel_ratio = 2 } = {}) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, deviceScaleFactor: pixel_ratio, hasTouch: true, isMobile: true });
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send("Emulation.setCPUThrottlingRate", { rate: kSlower });
  await devtools.send("Network.enable");
  if (network) await devtools.send("Network.emulateNetworkConditions", network);
  await devtools.send("Performance.enable");
  return { context, page, devtools };
}

// The share of the main thread that is busy, while nothing else is asked of it.
async function busy_share({ page, devtools }) {
  const read = async () => Object.fromEntries((await devtools.send("Performance.getMetrics")).metrics.map(({ name, value }) => [name, value]));
  const before = await read();
  await page.waitForTimeout(1000 * kSeconds);
  const after = await read();
  return (after.TaskDuration - before.TaskDuration) / (after.Timestamp - before.Timestamp);
}

// Frames that are drawn, a second.
async function frame_rate({ page }) {
  const frames = await page.evaluate(async (ms) => {
    const context = document.getElementById("instrument").getContext("webgl2");
    const draw = context.clear.bind(context); // once a frame
    let drawn = 0;
    context.clear = (mask) => {
      drawn += 1;
      draw(mask);
    };
    await new Promise((done) => setTimeout(done, ms));
    return drawn;
  }, 1000 * kSeconds);
  return frames / kSeconds;
}

async function listen_on(phone, pixel_ratio) {
  const percent = async () => `${(100 * (await busy_share(phone))).toFixed(1)} % of the main thread`;
  await phone.page.goto(address);
  const instrument = new Instrument(phone.page);
  await phone.page.waitForFunction(() => document.getElementById("control-tone")?.options.length > 1);
  await phone.page.waitForTimeout(2000);
  console.log(`\n${pixel_ratio} x ${pixel_ratio} pixels to a point`);
  console.log(`idle            ${await percent()}`);
  await instrument.listen();
  await instrument.measured();
  console.log(`listening       ${await percent()}`);
  console.log(`drawn           ${(await frame_rate(phone)).toFixed(0)} frames a second while listening`);
  await phone.page.evaluate(() => document.getElementById("instrument").getContext("webgl2").getExtension("WEBGL_lose_context").loseContext());
  console.log(`undrawn         ${await percent()} while listening`);
  await phone.context.close();
}

const server = await serve();
const address = `http://localhost:${server.address().port}/`;
const folder = mkdtempSync(join(tmpdir(), "four76-phone-"));
const sound = join(folder, "tone.wav");
writeFileSync(sound, wav([tone({ hz: 3030, seconds: 60, wow: [[7.6, 0.1], [1.3, 0.2]] })], kMicrophoneHz));
const browser = await launch({ microphone: sound, graphics: true, whole: true });
try {
  console.log(`A phone ${kSlower} times slower than this computer, on slow 4G\n`);
  {
    const slow = await slow_page(browser, { network: kSlow4g });
    await slow.page.goto(address, { waitUntil: "commit" });
    await slow.page.waitForFunction(() => document.getElementById("control-tone")?.options.length > 1, undefined, { timeout: 60_000 });
    const { text_ms, usable_ms } = await slow.page.evaluate(() => ({
      text_ms: performance.getEntriesByName("first-contentful-paint")[0]?.startTime,
      usable_ms: performance.now(),
    }));
    console.log(`first text      ${(text_ms / 1000).toFixed(2)} s`);
    console.log(`usable          ${(usable_ms / 1000).toFixed(2)} s`);
    await slow.context.close();
  }
  // The pixels are filled by this computer's processor: with one to a point it draws as fast as a phone's graphics does.
  for (const pixel_ratio of [1, 2]) await listen_on(await slow_page(browser, { pixel_ratio }), pixel_ratio);
} finally {
  await browser.close();
  server.close();
  rmSync(folder, { recursive: true, force: true });
}
