// Every phrase of the sources is in every language's file in assets/words, with the same places and tags, and none that the
// sources no longer have. `node tests/words_check.mjs --missing de` prints what a translator still has to tell, as JSON.
import { readFileSync, readdirSync } from "node:fs";
import { dirname, extname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { parseHTML } from "linkedom";
import { each_phrase, pack_catalogue, phrase_hash, unpack_catalogue } from "../shell/phrases.js";
import { check, exit_code } from "./listed_check.mjs";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const kMostPlaces = 10;

function files_in(folder, ...kinds) {
  return readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && kinds.includes(extname(entry.name)))
    .map((entry) => relative(root, join(entry.parentPath ?? entry.path, entry.name)))
    .filter((name) => !name.includes("node_modules") && !name.startsWith("core/cli"))
    .sort();
}

// ---- What the sources say --------------------------------------------------------------------------------------------
const phrases = new Map(); // to the first file that has it
const hashes = new Map();

function take(text, file) {
  if (!phrases.has(text)) phrases.set(text, file);
}

// A literal of C++ or JavaScript, escapes and all; adjacent ones of C++ are one.
const kLiteral = String.raw`"(?:[^"\\\n]|\\.)*"`;
const calls_of = (names) => new RegExp(String.raw`\b(?:${names})\s*[({]\s*(${kLiteral}(?:\s*${kLiteral})*)`, "g");
const kCalls = { ".js": calls_of("tr"), ".cpp": calls_of("tr|say|Phrase"), ".hpp": calls_of("tr|say|Phrase") };
function value_of(literals) {
  return [...literals.matchAll(new RegExp(kLiteral, "g"))].map(([literal]) => JSON.parse(literal.replaceAll("\\'", "'"))).join("");
}
for (const file of [...files_in("core", ".cpp", ".hpp"), ...files_in("web", ".cpp", ".hpp"), ...files_in("shell", ".js")]) {
  if (/core\/phrase\.|shell\/(words|phrases)\.js/.test(file)) continue; // the mechanism itself
  const text = readFileSync(join(root, file), "utf8").replaceAll(/^\s*\/\/.*$/gm, "");
  for (const [, literals] of text.matchAll(kCalls[extname(file)])) take(value_of(literals), file);
}
for (const file of ["shell/index.html", "shell/guide.html", "shell/tapes.html"]) {
  const { document } = parseHTML(readFileSync(join(root, file), "utf8"));
  each_phrase(document.documentElement, (text) => {
    take(text, file);
    return undefined;
  });
}

// ---- What the languages have -----------------------------------------------------------------------------------------
const languages = readdirSync(join(root, "assets/words")).filter((name) => extname(name) === ".json").map((name) => [name.replace(".json", ""), JSON.parse(readFileSync(join(root, "assets/words", name), "utf8"))]);
const marks_of = (text) => (text.match(/\{\d\}|<\/?\d+\/?>/g) ?? []).sort().join(" ");

if (process.argv[2] === "--missing") {
  const told = Object.fromEntries(languages)[process.argv[3]]?.phrases ?? {};
  console.log(JSON.stringify(Object.fromEntries([...phrases.keys()].filter((text) => !told[text]).map((text) => [text, ""])), null, 1));
  process.exit(0);
}

// What people read is for people: a script that goes by it goes wrong in another language. Kinds and names come as data.
const kCompares = /(?:[=!]==?\s*tr\(|\btr\((?:[^()"]|"(?:[^"\\]|\\.)*")*\)\s*[=!]==?|\.(?:startsWith|endsWith|includes|indexOf|match|split|exec|test|replace|replaceAll)\(\s*tr\(|\b(?:what|why|said|label|heading|verdict|evidence)\.(?:startsWith|endsWith|includes|indexOf|match|split|replace)|\.exec\((?:what|why|said|label|heading|verdict)\b)/;
check("no script compares or takes apart what people read", files_in("shell", ".js").flatMap((file) =>
  readFileSync(join(root, file), "utf8").split("\n").filter((line) => kCompares.test(line)).map((line) => `${file}: ${line.trim()}`)));

const shared = [];
for (const text of phrases.keys()) {
  const hash = phrase_hash(text);
  if (hashes.has(hash)) shared.push(`${JSON.stringify(text)} and ${JSON.stringify(hashes.get(hash))}: reword one of them`);
  hashes.set(hash, text);
}
check(`no two of ${phrases.size} phrases share a hash`, shared);
check("no phrase has more places than can be counted by one digit", [...phrases.keys()].filter((text) => marks_of(text).split("{").length > kMostPlaces));
check("there are languages beside English", languages.length >= 2 ? [] : [`${languages.length} in assets/words`]);
for (const [code, { phrases: told }] of languages) {
  check(`${code} tells every phrase`, [...phrases].filter(([text]) => !told[text]).map(([text, file]) => `${file}: ${JSON.stringify(text)}`));
  check(`${code} has none that is gone`, Object.keys(told).filter((text) => !phrases.has(text)).map((text) => JSON.stringify(text)));
  check(`${code} keeps places and tags`, Object.entries(told).filter(([text, other]) => marks_of(text) !== marks_of(other)).map(([text, other]) => `${JSON.stringify(text)}: ${JSON.stringify(other)}`));
  const lines = Object.entries(told).map(([text, other]) => `${phrase_hash(text)}${other}`).sort();
  const unpacked = unpack_catalogue(pack_catalogue([",", ...lines, ""].join("\n")));
  check(`${code} comes over the network as it is`, unpacked === [",", ...lines, ""].join("\n") ? [] : ["what is packed does not unpack to the same"]);
  check(`${code} has texts of one line without the tail of a context`, Object.values(told).filter((text) => /[\n]|##|^\s|\s$/.test(text)));
}
process.exit(exit_code());
