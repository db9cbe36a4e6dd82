// The page in three engines, on sound that is played to their microphone: prints "ok NAME" or "not ok NAME: why" for each
// case in each engine. tests/run calls it.
//
//   node tests/engines/run.mjs [--site FOLDER] [--engine chromium|firefox|webkit]... [WORD]...
//
// WORD: only cases whose name holds one of the words. Screenshots land in build/screenshots/engines.
import { existsSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { setPriority, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { exit_code, fault_of, tell } from "../browser/telling.mjs";
import { Bench } from "./bench.mjs";
import { Chromium } from "./chromium.mjs";
import { start_display } from "./display.mjs";
import { Firefox } from "./firefox.mjs";
import { Processes } from "./processes.mjs";
import { PulseRig } from "./pulse_rig.mjs";
import { cases } from "./suite.mjs";
import { WebKit } from "./webkit.mjs";

const kCaseMs = 150_000;
const kStartMs = 90_000;
const kEngines = { chromium: Chromium, firefox: Firefox, webkit: WebKit };
const root = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const kShots = root("build/screenshots/engines");

const { values: options, positionals: words } = parseArgs({
  allowPositionals: true,
  options: { site: { type: "string", default: root("build/site") }, engine: { type: "string", multiple: true, default: Object.keys(kEngines) } },
});
if (!existsSync(`${options.site}/index.html`)) {
  console.log("not ok the page is built: run shell/serve --build-only first");
  process.exit(1);
}
const strange = options.engine.filter((key) => !(key in kEngines));
if (strange.length > 0) {
  console.log(`not ok ${strange.join(" ")} is an engine: there are ${Object.keys(kEngines).join(", ")}`);
  process.exit(1);
}
const chosen = cases.filter(([name]) => words.length === 0 || words.some((word) => name.includes(word)));

async function run_case(name, test, key, stand) {
  const bench = new Bench(stand);
  const began = Date.now();
  let fault = await fault_of(() => test(bench), kCaseMs);
  await fault_of(() => stand.driver.screenshot(join(kShots, `${key}-${name.replaceAll(" ", "-")}.png`)), kStartMs);
  const left = await fault_of(() => bench.close(), kStartMs);
  fault ??= left && `taking down failed: ${left}`;
  tell(`${stand.driver.constructor.title}: ${name}`, fault, [...bench.notes, `${Math.round((Date.now() - began) / 1000)} s`]);
}

async function run_engine(key) {
  const driver = new kEngines[key]();
  const home = join(folder, key);
  mkdirSync(home, { mode: 0o700 });
  const env = { ...rig.env, DISPLAY: display, HOME: home, XDG_RUNTIME_DIR: home, XDG_CONFIG_HOME: join(home, ".config") };
  const title = kEngines[key].title;
  const fault = await fault_of(() => driver.start({ folder: home, env, processes }), kStartMs);
  tell(`${title} starts`, fault);
  if (fault === undefined) {
    for (const [name, test] of chosen) await run_case(name, test, key, { site: options.site, folder: home, rig, driver });
  }
  const left = await fault_of(() => driver.close(), kStartMs);
  if (left !== undefined) tell(`${title} ends`, left);
}

// Sound waits for nobody: where that is allowed, all of this goes ahead of what else the computer does.
try {
  setPriority(-10);
} catch {
  // not allowed: an idle computer will do
}
mkdirSync(kShots, { recursive: true });
const folder = mkdtempSync(join(tmpdir(), "four76-engines-"));
process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
const processes = new Processes();
const rig = new PulseRig(processes, folder);
let display;
const fault = await fault_of(async () => {
  await rig.start();
  display = await start_display(processes);
}, kStartMs);
tell("the rig and the screen start", fault);
if (fault === undefined) for (const key of options.engine) await run_engine(key);
await processes.end_all();
process.exit(exit_code());
