// Puts the whole page together in build/site: what any static HTTPS host needs, under any path.
//
// From shell/ it takes every file that a browser loads, by its extension; the tools beside them end in .mjs or .sh or in
// nothing. The modules that app.js draws in, those of npm too, become one app.js, and it and the style sheets lose their
// comments and spaces, as does the script around the program: a phone fetches one file in place of twenty, at half the
// weight. The service worker learns what to
// keep and under which name: "@SITE_VERSION@" in it becomes a hash over all files, ["@SITE_FILES@"] the list of them.
import { createHash } from "node:crypto";
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, extname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { buildSync } from "esbuild";
import { phrase_hash } from "./phrases.js";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const site = join(root, "build/site");
const fresh = join(root, "build/site.new");
const kPageFiles = new Set([".css", ".html", ".ico", ".js", ".json", ".png", ".svg", ".txt", ".webmanifest"]);
const kWorker = "service_worker.js";
const kOwnScripts = new Set([kWorker, "capture_worklet.js", "file_worker.js"]); // loaded by their names
const kEntries = ["app.js", "guide_page.js"]; // modules that a page loads, each with all that it draws in
// Every browser that has WebGL 2 and AudioWorklet understands private members and the rest of that year's language.
const kWritten = { minify: true, target: "es2022", charset: "utf8", legalComments: "none", logLevel: "warning" };

function files_in(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath ?? entry.path, entry.name)))
    .sort();
}

function take(from, to) {
  mkdirSync(dirname(join(fresh, to)), { recursive: true });
  cpSync(from, join(fresh, to));
}

function write(name, text) {
  mkdirSync(dirname(join(fresh, name)), { recursive: true });
  writeFileSync(join(fresh, name), text);
}

// A language's file of phrases as the program takes it: core/phrase.hpp.
function catalogue_of(json) {
  const { decimal_mark, phrases } = JSON.parse(json);
  const lines = Object.entries(phrases).map(([english, text]) => `${phrase_hash(english)}${text}`);
  return [decimal_mark, ...lines, ""].join("\n");
}

rmSync(fresh, { recursive: true, force: true });
for (const name of files_in(join(root, "shell"))) {
  if (name.startsWith("node_modules") || name.startsWith("package") || !kPageFiles.has(extname(name))) continue;
  const from = join(root, "shell", name);
  if (extname(name) === ".css") buildSync({ ...kWritten, entryPoints: [from], outfile: join(fresh, name) });
  else if (extname(name) === ".html") write(name, readFileSync(from, "utf8").replaceAll(/\n\s+/g, "\n"));
  else if (extname(name) !== ".js" || kOwnScripts.has(name)) take(from, name);
}
for (const name of kEntries) buildSync({ ...kWritten, entryPoints: [join(root, "shell", name)], bundle: true, format: "esm", outfile: join(fresh, name) });
buildSync({ ...kWritten, entryPoints: [join(root, "build/web/four76.js")], outfile: join(fresh, "four76.js") });
take(join(root, "build/web/four76.wasm"), "four76.wasm");
for (const name of ["B612-Regular.otf", "B612-Bold.otf"]) take(join(root, "build/web/web/fonts", name), `fonts/${name}`);
take(join(root, "build/web/web/notices.html"), "notices.html");
for (const name of files_in(join(root, "assets/words"))) {
  if (extname(name) === ".json") write(`words/${name.replace(".json", ".txt")}`, catalogue_of(readFileSync(join(root, "assets/words", name), "utf8")));
}

const names = files_in(fresh);
const hash = createHash("sha256");
for (const name of names) hash.update(`${name}\0`).update(readFileSync(join(fresh, name))).update("\0");
const version = hash.digest("hex").slice(0, 16);

if (existsSync(join(fresh, kWorker))) {
  // "./" is the page itself, as a visitor's address has it.
  const kept = ["./", ...names.filter((name) => name !== kWorker && name !== "index.html" && !name.startsWith("words/"))];
  const template = readFileSync(join(fresh, kWorker), "utf8");
  const worker = template.replace('"@SITE_VERSION@"', JSON.stringify(version)).replace('["@SITE_FILES@"]', JSON.stringify(kept));
  if (worker.includes("@SITE_")) throw new Error(`shell/${kWorker}: a place-holder is written in another way`);
  writeFileSync(join(fresh, kWorker), worker);
}

rmSync(site, { recursive: true, force: true });
renameSync(fresh, site);
const kilobytes = names.reduce((sum, name) => sum + gzipSync(readFileSync(join(site, name)), { level: 9 }).length, 0) / 1000;
console.log(`   ${names.length} files, ${kilobytes.toFixed(0)} KB gzipped, version ${version}`);
