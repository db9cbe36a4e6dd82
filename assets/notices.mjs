// Writes notices.html: the copyright and licence of every part by others that the page ships, taken at build time from
// the files those parts came with.
// Usage: node notices.mjs IMGUI_FOLDER NPM_FOLDER OUT.html, NPM_FOLDER being the one whose package.json says what of npm
// the page carries.
import { readFileSync, writeFileSync } from "node:fs";

const [imgui, npm, out] = process.argv.slice(2);
const read = (file) => readFileSync(file, "utf8");

// Debian's machine-readable copyright files: paragraphs of "Field: value" with continuation lines (DEP-5).
function paragraphs(text) {
  return text.split(/\n\s*\n/).map((block) => {
    const fields = {};
    let name;
    for (const line of block.split("\n")) {
      const field = /^([A-Za-z-]+):(.*)$/.exec(line);
      if (field) fields[(name = field[1])] = field[2].trim();
      else if (name) fields[name] += `\n${line.replace(/^ /, "").replace(/^\.$/, "")}`;
    }
    return fields;
  });
}

// The copyright and licences of those files of a package that `ships(pattern)` says are in the page; `chosen` where the
// files themselves name one licence of the package's.
function debian_notice(file, ships, chosen) {
  const all = paragraphs(read(file));
  const kept = all.filter((p) => p.Files !== undefined && p.Files.trim().split(/\s+/).some(ships));
  if (kept.length === 0) throw new Error(`${file}: none of the expected files`);
  const holders = kept.map((p) => {
    const [licence, ...inline] = p.License.split("\n");
    if (chosen && !licence.split(/\s+(?:and|or)\s+/).includes(chosen)) throw new Error(`${file}: not under ${chosen}`);
    const names = p.Copyright.trim().split(/\n/).map((line) => line.trim()).join("\n  ");
    return `Copyright ${names}\nLicence: ${chosen ?? licence}\n${inline.join("\n")}`.trim();
  });
  const named = new Set(chosen ? [chosen] : kept.flatMap((p) => p.License.split("\n")[0].split(/\s+(?:and|or)\s+/)));
  const texts = all
    .filter((p) => p.Files === undefined && p.License && named.has(p.License.split("\n")[0].trim()))
    .map((p) => `${p.License.replace("\n", "\n\n")}`);
  return [...new Set(holders), ...texts].join("\n\n");
}

// The comment lines of a source that name a part's author and licence.
function comment_from(file, first, last) {
  const lines = read(file).split("\n");
  const start = lines.findIndex((line) => line.includes(first));
  const end = lines.findIndex((line, at) => at >= start && line.includes(last));
  if (start < 0 || end < 0) throw new Error(`${file}: the notice is not where it was`);
  return lines.slice(start, end + 1).map((line) => line.replace(/^\/\/ ?/, "")).join("\n");
}

const runtime = [
  /^\*$/, // Emscripten itself: the script around the program
  /^src\/library/,
  /^system\/lib\/libc\/musl\/(\*|src\/(complex|math|internal|multibyte|stdio|stdlib|string)\/)/,
  /^system\/lib\/(libcxx|libcxxabi|compiler-rt)\/\*$/,
  /^system\/lib\/compiler-rt\/(lib\/builtins|stack_ops)/,
];

// What of npm's packages the page carries, and what each does there.
const kUses = { idb: "Keeps cards in the browser's database.", "lean-qr": "Draws links as QR codes." };
const npm_parts = Object.keys(JSON.parse(read(`${npm}/package.json`)).dependencies).map((name) => {
  const folder = `${npm}/node_modules/${name}`;
  if (!kUses[name]) throw new Error(`assets/notices.mjs does not say what ${name} is for`);
  return [`${name} ${JSON.parse(read(`${folder}/package.json`)).version}`, kUses[name], read(`${folder}/LICENSE`)];
});

const parts = [
  ["Dear ImGui 1.90.1", "Draws the instrument.", read(`${imgui}/LICENSE.txt`)],
  [
    "stb_rectpack, stb_textedit, stb_truetype",
    "Inside Dear ImGui: packs, edits and draws its text.",
    comment_from(`${imgui}/imstb_truetype.h`, "ALTERNATIVE A - MIT License", "SOFTWARE."),
  ],
  ["KissFFT", "Computes spectra.", debian_notice("/usr/share/doc/libkissfft-dev/copyright", (f) => f === "*")],
  [
    "B612",
    "The typeface, subset for this page; its files say that they are licensed under the SIL Open Font License.",
    debian_notice("/usr/share/doc/fonts-b612/copyright", (f) => f === "*", "OFL-1.1"),
  ],
  [
    "Emscripten, musl, libc++, libc++abi, compiler-rt",
    "What a C++ program needs in order to run in a browser.",
    debian_notice("/usr/share/doc/emscripten/copyright", (f) => runtime.some((pattern) => pattern.test(f))),
  ],
  ...npm_parts,
];

// A paragraph is one line, which wraps as the window is wide; lists, headings and rules keep theirs.
const unwrapped = (text) => text.replace(/^(?!-)(.{56,})\n(?=[A-Za-z("'])/gm, "$1 ");
const escape = (text) => text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");
const sections = parts.map(
  ([name, use, text]) => `<h2>${escape(name)}</h2>\n<p>${escape(use)}</p>\n<pre>${escape(unwrapped(text.trim()))}</pre>`,
);

writeFileSync(
  out,
  `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'self'">
<title>Four76: parts made by others</title>
<link rel="stylesheet" href="notices.css">
</head>
<body>
<main>
<h1>Parts made by others</h1>
<p><a href="./">Back to Four76</a></p>
<p>Four76 itself is under the MIT licence. The page also carries these parts, each under its own terms.</p>
${sections.join("\n")}
</main>
</body>
</html>
`,
);
