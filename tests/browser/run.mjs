// The page in Chromium: prints "ok NAME" or "not ok NAME: why" for each test. tests/run calls it.
//
//   node tests/browser/run.mjs [--site FOLDER] [--lanes N] [--long] [--pictures] [WORD]...     only tests whose name holds one of the words
//
// They wait for sound most of the time, so that three lanes of them go side by side.
//
// A test marked "long" is one of many states of the same HTML: without words it runs with --long alone.
// With --pictures what is laid out is drawn in full, and screenshots land in build/screenshots; tests/browser/picture.mjs makes the README's picture from one of them.
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { watched } from "./chromium.mjs";
import { House, PlainBrowsers } from "./house.mjs";
import { exit_code, fault_of, tell } from "./telling.mjs";
import { tests as access } from "./cases/access.mjs";
import { tests as awake } from "./cases/awake.mjs";
import { tests as bench } from "./cases/bench.mjs";
import { tests as cards } from "./cases/cards.mjs";
import { tests as clock } from "./cases/clock.mjs";
import { tests as demo } from "./cases/demo.mjs";
import { tests as drawing } from "./cases/drawing.mjs";
import { tests as drawn } from "./cases/drawn.mjs";
import { tests as endurance } from "./cases/endurance.mjs";
import { tests as exported } from "./cases/exports.mjs";
import { tests as files } from "./cases/files.mjs";
import { tests as flutter } from "./cases/flutter.mjs";
import { tests as friend } from "./cases/friend.mjs";
import { tests as job } from "./cases/job.mjs";
import { tests as microphone } from "./cases/microphone.mjs";
import { tests as missing } from "./cases/missing.mjs";
import { tests as offline } from "./cases/offline.mjs";
import { tests as permission } from "./cases/permission.mjs";
import { tests as settings } from "./cases/settings.mjs";
import { tests as sizes } from "./cases/sizes.mjs";
import { tests as song } from "./cases/song.mjs";
import { tests as tapes } from "./cases/tapes.mjs";
import { tests as tasks } from "./cases/tasks.mjs";
import { tests as languages } from "./cases/words.mjs";

const kTestMs = 150_000;
const groups = [access, microphone, permission, awake, files, cards, exported, friend, bench, offline, endurance, settings, clock, demo, flutter, job, drawing, drawn, missing, song, tapes, tasks, languages, sizes];

const { values: options, positionals: words } = parseArgs({
  allowPositionals: true,
  options: {
    site: { type: "string", default: fileURLToPath(new URL("../../build/site", import.meta.url)) },
    lanes: { type: "string", default: "3" },
    long: { type: "boolean", default: false },
    pictures: { type: "boolean", default: false },
  },
});
if (!existsSync(`${options.site}/index.html`)) {
  console.log("not ok the page is built: run shell/serve --build-only first");
  process.exit(1);
}

// One browser that dies in a whole run is taken for no fault of the page's: the test is done once more, and that is said. A
// page that kills browsers kills more than one.
const kDied = /context or browser has been closed|Browser closed/;
let deaths = 0;

async function try_once(test, house) {
  let fault = await fault_of(() => test(house), kTestMs);
  await house.close().catch((error) => (fault ??= `taking down failed: ${error.message}`));
  return fault;
}

async function run(name, test, plain) {
  const began = Date.now();
  let house = new House(options.site, plain, options.pictures);
  let fault = await try_once(test, house);
  if (fault !== undefined && kDied.test(fault) && ++deaths === 1) {
    house = new House(options.site, plain, options.pictures);
    house.note("a second time, for the browser had died");
    fault = await try_once(test, house);
  }
  tell(name, fault, [...house.notes, `${Math.round((Date.now() - began) / 1000)} s`]);
  await plain.spare();
}

// Told to end, it ends, and its browsers with it; the driver alone would end these and let the run go on with others.
process.on("SIGTERM", () => process.exit(1));

const wanted = (name, only) => (words.length > 0 ? words.some((word) => name.includes(word)) : options.long || only !== "long");
const chosen = groups.flat().filter(([name, , only]) => wanted(name, only));
const queue = [...chosen];
async function lane() {
  const plain = new PlainBrowsers();
  while (queue.length > 0) {
    const [name, test] = queue.shift();
    await run(name, test, plain);
  }
  await plain.close();
}
await Promise.all(Array.from({ length: Number(options.lanes) }, lane));

const list = (faults) => (faults.length > 0 ? [...new Set(faults)].slice(0, 5).join(" | ") : undefined);
if (chosen.length > 0) {
  tell("no request left the page's own origin", list(watched.outside), [`${watched.requests} requests`]);
  tell("nothing offended against the page's security policy", list(watched.violations));
  tell("no script failed and no error was logged", list(watched.errors));
}
process.exit(exit_code());
