// Whether the page's memory grows while it listens for an hour of real time; tests/endurance holds twelve simulated hours
// of the program without a page. Each five minutes, after a collection of garbage: what JavaScript holds, WebAssembly's
// memory, nodes and listeners. Ends with status 1 where the last is larger than after the first ten minutes by more than
// what two collections of a page at rest differ by, or where the page does not measure any more. Needs build/site.
//
//   node tests/browser/hour.mjs [MINUTES]
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { launch } from "./chromium.mjs";
import { Instrument } from "./instrument.mjs";
import { serve } from "./server.mjs";
import { kMicrophoneHz, tone } from "./sound.mjs";
import { wav } from "./wav.mjs";

const kMinutes = Number(process.argv[2] ?? 60);
const kStepMinutes = Math.min(5, kMinutes / 4);
const kSettledMinutes = 2 * kStepMinutes;
const kAllowedBytes = 256 * 1024;
const site = fileURLToPath(new URL("../../build/site/", import.meta.url));

// The program keeps its memory to itself: it is caught as it is made.
const catch_program = () => {
  for (const name of ["instantiate", "instantiateStreaming"]) {
    const make = WebAssembly[name];
    WebAssembly[name] = async (...rest) => {
      const made = await make.apply(WebAssembly, rest);
      globalThis.program_memory = Object.values((made.instance ?? made).exports).find((part) => part instanceof WebAssembly.Memory);
      return made;
    };
  }
};

async function memory_of(page, devtools) {
  await devtools.send("HeapProfiler.collectGarbage");
  const { metrics } = await devtools.send("Performance.getMetrics");
  const metric = (name) => metrics.find((entry) => entry.name === name).value;
  const { usedSize, backingStorageSize } = await devtools.send("Runtime.getHeapUsage");
  const program = await page.evaluate(() => globalThis.program_memory.buffer.byteLength);
  return { script: usedSize, buffers: backingStorageSize, program, nodes: metric("Nodes"), listeners: metric("JSEventListeners") };
}

const server = await serve(site);
const folder = mkdtempSync(join(tmpdir(), "four76-hour-"));
const sound = join(folder, "tone.wav");
writeFileSync(sound, wav([tone({ hz: 3030, seconds: 60, wow: [[7.6, 0.1], [1.3, 0.2]] })], kMicrophoneHz));
const browser = await launch({ microphone: sound, whole: true });
let grown;
try {
  const context = await browser.newContext({ viewport: { width: 320, height: 568 }, reducedMotion: "reduce" });
  await context.addInitScript(catch_program);
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send("Performance.enable");
  await page.goto(server.address);
  const instrument = new Instrument(page);
  await page.waitForFunction(() => document.getElementById("control-tone")?.options.length > 1);
  await instrument.listen();
  await instrument.measured();
  console.log("minute   script KB  buffers KB  program KB  nodes  listeners  speed error %");
  let settled, last;
  for (let minute = 0; minute <= kMinutes; minute += kStepMinutes) {
    last = await memory_of(page, devtools);
    if (minute <= kSettledMinutes) settled = last;
    const kb = (bytes) => (bytes / 1024).toFixed(0);
    console.log([minute.toFixed(0).padStart(6), kb(last.script).padStart(11), kb(last.buffers).padStart(11), kb(last.program).padStart(11), String(last.nodes).padStart(6),
      String(last.listeners).padStart(10), String((await instrument.told()).reading.speed_error_percent).padStart(14)].join(" "));
    if (minute < kMinutes) await page.waitForTimeout(60_000 * kStepMinutes);
  }
  grown = Math.max(...["script", "buffers", "program"].map((part) => last[part] - settled[part]));
  if ((await instrument.measured()).phase !== "listening") throw new Error("it does not listen any more");
  console.log(`grown by ${(grown / 1024).toFixed(1)} KB since minute ${kSettledMinutes}`);
} finally {
  await browser.close();
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
}
process.exitCode = grown > kAllowedBytes ? 1 : 0;
