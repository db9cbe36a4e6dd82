// The list of the site's files, in the site itself: files.sha256, as sha256sum writes it and checks it
// (`sha256sum --check files.sha256` where the site lies). It holds every file but itself.
//
// The service worker keeps what the list names, and only as the list has it. Its own line is the last, and the version
// that is written into it is the SHA-256 of all lines before: so a list goes with one worker, and a worker with one list.
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";

const kList = "files.sha256";
const kWorker = "service_worker.js";
const kVersionIn = /(kVersion ?= ?")[^"]*(")/; // in the worker

/** @param {string | Buffer} bytes */
const sum_of = (bytes) => createHash("sha256").update(bytes).digest("hex");

/** @param {string} folder */
export function files_in(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath ?? entry.path, entry.name)))
    .sort();
}

// Writes the list and the worker's version; anew where they are there already. Returns the version.
/** @param {string} folder */
export function seal_site(folder) {
  const line_of = (/** @type {string} */ name) => `${sum_of(readFileSync(join(folder, name)))}  ${name}\n`;
  const lines = files_in(folder).filter((name) => name !== kList && name !== kWorker).map(line_of).join("");
  const version = sum_of(lines);
  const worker = readFileSync(join(folder, kWorker), "utf8");
  if (!kVersionIn.test(worker)) throw new Error(`${kWorker}: the place of its version is written in another way`);
  writeFileSync(join(folder, kWorker), worker.replace(kVersionIn, `$1${version}$2`));
  writeFileSync(join(folder, kList), lines + line_of(kWorker));
  return version;
}
