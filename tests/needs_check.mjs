// What serves the page asks for nothing that shell/serve does not install: configures command line and page as shell/serve
// does, in fresh folders, and looks up which Debian package brings each thing that CMake found. Each must be one of
// build_needs in shell/setup.sh or come with one. Prints "ok NAME" or "not ok NAME" for each check. Usage: node tests/needs_check.mjs
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { check, exit_code } from "./listed_check.mjs";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const setup = join(root, "shell/setup.sh");
const run = (command, ...args) => execFileSync(command, args, { encoding: "utf8", maxBuffer: 1 << 28 });
const lines = (text) => text.split("\n").filter((line) => line !== "");

// ---- The packages that are there once build_needs are ----------------------------------------------------------------

const kFields = "${binary:Package}\t${Essential}\t${Provides}\t${Pre-Depends}, ${Depends}\n";
const bare = (name) => name.trim().replace(/[:\s(].*$/, "");
const installed = lines(run("dpkg-query", "-W", "-f", kFields)).map((line) => {
  const [name, essential, provides, depends] = line.split("\t");
  return { name: bare(name), essential: essential === "yes", provides: provides.split(",").map(bare), depends: depends.split(",").map((either) => either.split("|").map(bare)) };
});
const providers = new Map();
for (const { name, provides } of installed)
  for (const what of new Set([name, ...provides])) providers.set(what, [...(providers.get(what) ?? []), name]);
const depends = new Map(installed.map((one) => [one.name, one.depends]));

const needed = lines(run("bash", "-c", `source '${setup}' && printf '%s\\n' "\${build_needs[@]}"`)).map((need) => need.split(" ").at(-1));
// Of alternatives the first that is here: what apt would have taken.
const served = new Set();
const waiting = [...needed, ...installed.filter(({ essential }) => essential).map(({ name }) => name)].map((name) => [name]);
while (waiting.length > 0) {
  const name = waiting.pop().flatMap((either) => (depends.has(either) ? [either] : (providers.get(either) ?? []))).at(0);
  if (name === undefined || served.has(name)) continue;
  served.add(name);
  waiting.push(...depends.get(name));
}

// ---- What CMake found ------------------------------------------------------------------------------------------------

const kFinders = new Set(["find_path", "find_file", "find_library", "find_program", "find_package"]);
// CMake's own looking about for a compiler's tools, which does without them.
const kOfCMake = /\/Modules\/CMake[^/]*$/;

// The file that a call found, as far as one came of it: a path is told as the folder that holds a name.
function found_files({ cmd, args }, cache) {
  const value = cache.get(cmd === "find_package" ? `${args[0]}_DIR` : args[0]);
  if (value === undefined || !value.startsWith("/") || !existsSync(value)) return [];
  if (cmd === "find_package") return [`${args[0]}Config.cmake`, `${args[0].toLowerCase()}-config.cmake`].map((name) => join(value, name));
  return cmd === "find_path" ? args.slice(1).map((name) => join(value, name)) : [value];
}

// Files below build/ are our own.
function asked_files(preset, ...settings) {
  const folder = mkdtempSync(join(root, "build", "needs."));
  const trace = join(folder, "trace.json");
  try {
    const { status, stderr } = spawnSync("cmake", ["--preset", preset, "-B", folder, "--trace-expand", "--trace-format=json-v1", `--trace-redirect=${trace}`, ...settings],
      { cwd: root, encoding: "utf8", env: { ...process.env, NODE_PATH: process.env.NODE_PATH ?? "/usr/share/nodejs" } });
    if (status !== 0) return { fault: stderr.trim().split("\n").slice(-8).join(" ") };
    const cache = new Map(
      lines(readFileSync(join(folder, "CMakeCache.txt"), "utf8")).flatMap((line) => {
        const [, name, value] = /^([^#/:=]+):[A-Z]+=(.*)$/.exec(line) ?? [];
        return name === undefined ? [] : [[name, value]];
      }),
    );
    const calls = lines(readFileSync(trace, "utf8")).map((line) => JSON.parse(line)).filter(({ cmd, file }) => kFinders.has(cmd?.toLowerCase()) && !kOfCMake.test(file));
    const files = calls.flatMap((call) => found_files({ ...call, cmd: call.cmd.toLowerCase() }, cache));
    return { files: [...new Set(files)].filter((file) => existsSync(file) && !file.startsWith(join(root, "build"))) };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

// Where /bin leads to /usr/bin, packages may know a file by either name.
const names_of = (file) => [...new Set([file, realpathSync(file)].flatMap((name) => [name, name.replace(/^\/usr(?=\/s?bin\/|\/lib)/, "")]))];

function packages_of(files) {
  const { stdout } = spawnSync("dpkg-query", ["-S", ...files.flatMap(names_of)], { encoding: "utf8" });
  const told = new Map(lines(stdout).map((line) => [line.slice(line.indexOf(": ") + 2), bare(line.split(",")[0])]));
  return files.map((file) => names_of(file).map((name) => told.get(name)).find((name) => name !== undefined));
}

function strangers({ fault, files }) {
  if (fault !== undefined) return [fault];
  const packages = packages_of(files);
  return files.flatMap((file, at) => (served.has(packages[at]) ? [] : [`${file} (${packages[at] ?? "no package's"})`]));
}

mkdirSync(join(root, "build"), { recursive: true });
for (const [preset, least] of [["command_line", "sndfile.h"], ["page", "pyftsubset"]]) {
  const asked = asked_files(preset, "-DFOUR76_TESTS=OFF");
  check(`the preset ${preset} asks for nothing but what shell/serve installs`, strangers(asked));
  check(`what the preset ${preset} asks for is seen`, asked.files?.some((file) => file.includes(least)) ? [] : [`no ${least}`]);
}

// Would it be seen? A file that is read at the project's start asks for a package that only tests need.
const folder = mkdtempSync(join(root, "build", "needs."));
writeFileSync(join(folder, "asks.cmake"), "find_path(FOUR76_ASKED fftw3.h REQUIRED)\n");
const seen = strangers(asked_files("command_line", "-DFOUR76_TESTS=OFF", `-DCMAKE_PROJECT_four76_INCLUDE=${join(folder, "asks.cmake")}`));
rmSync(folder, { recursive: true });
check("asking for FFTW would be found out", seen.length === 1 && /fftw3/i.test(seen[0]) ? [] : [`found: ${seen.join(" ") || "nothing"}`]);

process.exit(exit_code());
