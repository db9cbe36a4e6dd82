// Puts the whole page together in build/site: what any static HTTPS host needs, under any path.
//
// From shell/ it takes every file that a browser loads, by its extension; the tools beside them end in .mjs or .sh or in
// nothing. The modules that app.js draws in, those of npm too, become one app.js with shared.js, and they and the style sheets lose their
// comments and spaces, as do the scripts that are loaded by their own names: a phone fetches one file in place of twenty,
// at half the weight. The style sheets of index.html become one. At last the list of all files is written, and the service worker learns of it (site_list.mjs).
import { cpSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { buildSync } from "esbuild";
import { minify } from "terser";
import { pack_catalogue, phrase_hash } from "./phrases.js";
import { files_in, seal_site } from "./site_list.mjs";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const site = join(root, "build/site");
const fresh = join(root, "build/site.new");
const kPageFiles = new Set([".css", ".html", ".ico", ".js", ".json", ".png", ".svg", ".txt", ".webmanifest"]);
const kJoined = new Set([...readFileSync(join(root, "shell/index.css"), "utf8").matchAll(/@import "(.*)"/g)].map(([, name]) => name));
const kOwnScripts = new Set(["service_worker.js", "capture_worklet.js", "file_worker.js", "tapes_worker.js"]); // loaded by their names
const kEntries = ["app.js", "guide_page.js"]; // modules that a page loads; what both draw in becomes shared.js
// Every browser that has WebGL 2 and AudioWorklet understands private members and the rest of that year's language.
/** @type {import("esbuild").BuildOptions} */
const kWritten = { minify: true, target: "es2022", charset: "utf8", legalComments: "none", logLevel: "warning" };

/** @param {string} from @param {string} to */
function take(from, to) {
  mkdirSync(dirname(join(fresh, to)), { recursive: true });
  cpSync(from, join(fresh, to));
}

/** @param {string} name @param {string} text */
function write(name, text) {
  mkdirSync(dirname(join(fresh, name)), { recursive: true });
  writeFileSync(join(fresh, name), text);
}

// A language's file of phrases as shell/words.js takes it.
/** @param {string} json */
function catalogue_of(json) {
  const { decimal_mark, phrases } = JSON.parse(json);
  const lines = Object.entries(phrases).map(([english, text]) => `${phrase_hash(english)}${text}`);
  return pack_catalogue([decimal_mark, ...lines, ""].join("\n"));
}

rmSync(fresh, { recursive: true, force: true });
for (const name of files_in(join(root, "shell"))) {
  if (name.startsWith("node_modules") || name.startsWith("package") || !kPageFiles.has(extname(name))) continue;
  const from = join(root, "shell", name);
  if (kJoined.has(name)) continue;
  if (extname(name) === ".css") buildSync({ ...kWritten, entryPoints: [from], bundle: true, external: ["fonts/*", "icons/*"], outfile: join(fresh, name) });
  else if (kOwnScripts.has(name)) buildSync({ ...kWritten, entryPoints: [from], outfile: join(fresh, name) });
  else if (extname(name) === ".html") write(name, readFileSync(from, "utf8").replaceAll(/<!--[^]*?-->/g, "").replaceAll(/\n\s+/g, "\n"));
  else if (extname(name) === ".webmanifest") write(name, JSON.stringify(JSON.parse(readFileSync(from, "utf8"))));
  else if (extname(name) !== ".js") take(from, name);
}
buildSync({ ...kWritten, entryPoints: kEntries.map((name) => join(root, "shell", name)), bundle: true, splitting: true, chunkNames: "shared", format: "esm", outdir: fresh });
// What the modules of a first visit hold is 4 % smaller by this one, which looks at what is used more than once.
for (const name of [...kEntries, "shared.js"]) {
  const { code } = await minify(readFileSync(join(fresh, name), "utf8"), { module: true, ecma: 2020, compress: { passes: 3 } });
  if (!code) throw new Error(`${name} became nothing`);
  write(name, code);
}
// By itself: what it has in common with the instrument does not make that one's visit any larger.
buildSync({ ...kWritten, entryPoints: [join(root, "shell/tapes_page.js")], bundle: true, format: "esm", outfile: join(fresh, "tapes_page.js") });
// What the programs' glue would do outside a browser.
const kElsewhere = Object.fromEntries(["define", "exports", "module", "process"].map((name) => [name, "undefined"]));
for (const program of ["four76", "tapes"]) {
  buildSync({ ...kWritten, define: kElsewhere, entryPoints: [join(root, `build/web/${program}.js`)], outfile: join(fresh, `${program}.js`) });
  take(join(root, `build/web/${program}.wasm`), `${program}.wasm`);
}
for (const name of ["B612-Regular.otf", "B612-Bold.otf"]) take(join(root, "build/web/web/fonts", name), `fonts/${name}`);
take(join(root, "build/web/web/notices.html"), "notices.html");
for (const name of files_in(join(root, "assets/words"))) {
  if (extname(name) === ".json") write(`words/${name.replace(".json", ".txt")}`, catalogue_of(readFileSync(join(root, "assets/words", name), "utf8")));
}

const version = seal_site(fresh);
rmSync(site, { recursive: true, force: true });
renameSync(fresh, site);
const names = files_in(site);
const kilobytes = names.reduce((sum, name) => sum + gzipSync(readFileSync(join(site, name)), { level: 9 }).length, 0) / 1000;
console.log(`   ${names.length} files, ${kilobytes.toFixed(1)} KB gzipped, version ${version.slice(0, 16)}`);
