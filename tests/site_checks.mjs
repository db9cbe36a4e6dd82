// What must hold of build/site as a whole. Prints "ok NAME" or "not ok NAME" for each check, as the browser tests do.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, extname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { check, exit_code } from "./listed_check.mjs";

const site = resolve(dirname(fileURLToPath(import.meta.url)), "../build/site");
// Gzipped, in English: what a visit to the instrument loads, some three seconds on a slow phone connection; and with it
// what the page of any tapes has to itself, which is kept for use without a network as well.
const kBudgetBytes = 450_000, kWholeBytes = 600_000;
const kOfTapes = new Set(["tapes.css", "tapes.html", "tapes.js", "tapes.wasm", "tapes_page.js", "tapes_worker.js"]);

const names = readdirSync(site, { withFileTypes: true, recursive: true })
  .filter((entry) => entry.isFile())
  .map((entry) => relative(site, join(entry.parentPath ?? entry.path, entry.name)));
const text_of = (name) => readFileSync(join(site, name), "latin1");
const of_kind = (...kinds) => names.filter((name) => kinds.includes(extname(name)));

const sizes = names.map((name) => [gzipSync(readFileSync(join(site, name)), { level: 9 }).length, name]).sort((a, b) => b[0] - a[0]);
// English needs no file of words; of the others a visit loads the one that it tells, on top of the rest.
const kWordsBytes = 25_000;
const is_words = ([, name]) => name.startsWith("words/");
const english = sizes.filter((size) => !is_words(size));
for (const [what, counted, budget] of [
  ["a visit to the instrument loads", english.filter(([, name]) => !kOfTapes.has(name)), kBudgetBytes],
  ["there is in English", english, kWholeBytes],
]) {
  const bytes = counted.reduce((sum, [size]) => sum + size, 0);
  check(`all that ${what} is under ${budget / 1000} KB gzipped (${(bytes / 1000).toFixed(2)} KB)`, bytes < budget ? [] : counted.map(([size, file]) => `${size} ${file}`));
}
check("the page of any tapes has what it needs", [...kOfTapes].filter((name) => !names.includes(name)));
for (const [words, name] of sizes.filter(is_words)) {
  check(`${name} adds less than ${kWordsBytes / 1000} KB (${(words / 1000).toFixed(1)} KB)`, words < kWordsBytes ? [] : [`${words} ${name}`]);
}

check(
  "the page, its program, its notices and the service worker are there",
  ["index.html", "four76.js", "four76.wasm", "notices.html", "service_worker.js"].filter((name) => !existsSync(join(site, name))),
);

// Names of XML vocabularies look like addresses, but nothing asks for them. Licences in the notices name their own homes
// as text; that page links to nothing.
const kVocabularies = /^https?:\/\/www\.w3\.org\//;
check(
  "no file refers to an outside host",
  names
    .filter((name) => name !== "notices.html" && extname(name) !== ".otf")
    .flatMap((name) =>
      [...text_of(name).matchAll(/\b(?:https?|wss?):\/\/[^\s"'`<>)\\]+/g)]
        .map(([address]) => address)
        .filter((address) => !kVocabularies.test(address) && !/^https?:\/\/localhost\b/.test(address))
        .map((address) => `${name}: ${address}`),
    ),
);

// An address that starts with "/" breaks under a sub-path; "//host" and "scheme:" leave the site.
const kAttribute = /\b(?:href|src|action|data|poster|srcset)\s*=\s*["']([^"']*)["']/g;
const kUrl = /url\(\s*["']?([^"')]*)["']?\s*\)/g;
const outside = (address) => /^(?:\/|[a-z][a-z0-9+.-]*:)/i.test(address) && !/^data:/i.test(address);
check(
  "every address in pages and styles is relative",
  [...of_kind(".html").map((name) => [name, kAttribute]), ...of_kind(".css", ".svg", ".html").map((name) => [name, kUrl])].flatMap(
    ([name, pattern]) =>
      [...text_of(name).matchAll(pattern)].filter(([, address]) => outside(address)).map(([, address]) => `${name}: ${address}`),
  ),
);

check(
  "every file that a page or style names is there",
  [...of_kind(".html").map((name) => [name, kAttribute]), ...of_kind(".css").map((name) => [name, kUrl])].flatMap(([name, pattern]) =>
    [...text_of(name).matchAll(pattern)]
      .map(([, address]) => address.replace(/[?#].*$/, ""))
      .filter((address) => address !== "" && !outside(address) && !/^data:/i.test(address))
      .filter((address) => !existsSync(join(site, dirname(name), address)))
      .map((address) => `${name}: ${address}`),
  ),
);

check(
  "pages carry a Content-Security-Policy and no inline script or handler",
  of_kind(".html").flatMap((name) => {
    const page = text_of(name);
    const faults = [];
    if (!/http-equiv=["']Content-Security-Policy["']/i.test(page)) faults.push(`${name}: no policy`);
    if (/unsafe-inline|'unsafe-eval'/.test(page)) faults.push(`${name}: an unsafe policy`);
    for (const [tag] of page.matchAll(/<script\b[^>]*>/gi)) if (!/\bsrc=/.test(tag)) faults.push(`${name}: ${tag}`);
    for (const [handler] of page.matchAll(/<[^>]+\son[a-z]+\s*=/gi)) faults.push(`${name}: ${handler}`);
    return faults;
  }),
);

const security = readFileSync(resolve(site, "../../assets/docs/security.md"), "utf8");
const policy = /Content-Security-Policy["'] content="([^"]*)"/.exec(text_of("index.html"))?.[1] ?? "";
check(
  "the page on security tells of every directive",
  policy.split(/;\s*/).filter((directive) => directive === "" || !security.includes(`| \`${directive}\` |`)),
);

// A page runs a script where its policy lets it and the page on security says so, and nowhere else.
check(
  "which pages run a script is told as it is",
  of_kind(".html").flatMap((name) => {
    const page = text_of(name);
    const runs = /<script\b/i.test(page), may = /script-src/.test(page), none = new RegExp(`\`${name}\` runs no\\s+script`).test(security);
    return runs === may && runs !== none ? [] : [`${name}: runs one ${runs}, may ${may}, is said to run none ${none}`];
  }),
);

const licence = readFileSync(resolve(site, "../../README.md"), "utf8").split(/^## Licence$/m)[1] ?? "";
const noticed = [...text_of("notices.html").matchAll(/<h2>([^<]*)<\/h2>/g)].map(([, name]) => /^[A-Za-z0-9 -]*?(?=[_,]| \d|$)/.exec(name)[0]);
check(
  "the README names every part of the notices",
  noticed.length > 0 ? noticed.filter((name) => !licence.includes(name)) : ["no part in notices.html"],
);

// By coreutils, as whoever has copied the site somewhere would.
const kList = "files.sha256";
const list = existsSync(join(site, kList)) ? text_of(kList) : "";
const told = spawnSync("sha256sum", ["--check", "--strict", "--quiet", kList], { cwd: site, encoding: "utf8" });
check("the list of files is true", told.status === 0 ? [] : `${told.stdout}${told.stderr}`.trim().split("\n"));
const listed = list.split("\n").filter(Boolean).map((line) => line.slice(66));
check("the list of files is complete", [
  ...names.filter((name) => name !== kList && !listed.includes(name)).map((name) => `not listed: ${name}`),
  ...listed.filter((name, at) => listed.indexOf(name) !== at || !names.includes(name)).map((name) => `listed: ${name}`),
]);
const worker = existsSync(join(site, "service_worker.js")) ? text_of("service_worker.js") : "";
const others = list.replace(/^[0-9a-f]{64} {2}service_worker\.js\n/m, "");
check(
  "the service worker takes this list and no other",
  worker.includes(createHash("sha256").update(others).digest("hex")) ? [] : ["it does not hold the sum of the other files' lines"],
);

process.exit(exit_code());
