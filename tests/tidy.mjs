// clang-tidy on our own sources, those again only that changed: a file's mark holds the hash of all that goes into it.
// Needs build/units and build/web built.
//
//   node tests/tidy.mjs [--all] [--since COMMIT]
//
// --all: those that have not changed, too. --since: of those that changed, only what was changed after that commit; a header
// through one file that includes it. Where the history does not reach back so far, everything.
import { execFileSync, spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const marks = join(root, "build/tidy");
mkdirSync(marks, { recursive: true });

const ours = (file) => /^(core|web)\//.test(relative(root, file));
const hash = (...parts) => parts.reduce((sum, part) => sum.update(part).update("\0"), createHash("sha256")).digest("hex");
const run = (command, ...args) => execFileSync(command, args, { encoding: "utf8", maxBuffer: 1 << 28 });

// Object file -> our files that it was compiled from, as ninja recorded them.
function dependencies(build) {
  const found = new Map();
  let files;
  for (const line of run("ninja", "-C", build, "-t", "deps").split("\n")) {
    if (/^\S.*: #deps/.test(line)) found.set(line.slice(0, line.indexOf(": #deps")), (files = []));
    else if (line.startsWith("    ")) files.push(resolve(build, line.trim()));
  }
  return found;
}

// The cross compiler's own idea of target and headers, which clang-tidy cannot guess.
function web_arguments() {
  const flags = run("em++", "--cflags").trim().split(/\s+/);
  return [...flags.map((flag) => `--extra-arg-before=${flag}`), "--extra-arg=-Wno-unused-command-line-argument"];
}

const settings = readFileSync(join(root, ".clang-tidy"));
const version = run("clang-tidy", "--version");

// As the build compiles, but without the headers that it reads once for all: they are another compiler's, and would hide that
// a file does not include what it uses.
function commands_of(name) {
  const commands = JSON.parse(readFileSync(join(root, "build", name, "compile_commands.json"), "utf8"));
  for (const one of commands) one.command = one.command.replace(/ -Winvalid-pch/, "").replace(/( -Xclang)? -include(-pch)?( -Xclang)? \S*cmake_pch\S*/g, "");
  const folder = join(marks, name);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "compile_commands.json"), JSON.stringify(commands));
  return { folder, commands };
}

function jobs_of(name, extra) {
  const deps = dependencies(join(root, "build", name));
  const { folder: build, commands } = commands_of(name);
  return commands
    .filter(({ file }) => ours(file) && !file.startsWith(join(root, "build")))
    .map(({ file, command }) => {
      const object = / -o (\S+)/.exec(command)?.[1];
      const inputs = [...new Set([file, ...(deps.get(object) ?? [])])].filter(ours).sort();
      const key = hash(version, settings, command, extra.join(" "), ...inputs.map((input) => readFileSync(input)));
      return { file, inputs, build, extra, mark: join(marks, key) };
    });
}

// Assertions tell the analyser what holds.
const asserting = "--extra-arg=-UNDEBUG";
const native = jobs_of("units", [asserting]);
const seen = new Set(native.map(({ file }) => file));
const web = existsSync(join(root, "build/web/compile_commands.json"))
  ? jobs_of("web", [...web_arguments(), asserting]).filter(({ file }) => !seen.has(file))
  : [];
const jobs = [...native, ...web];

const { values: options } = parseArgs({ options: { all: { type: "boolean", default: false }, since: { type: "string" } } });
// Our files that differ from what they were then; undefined where that is not known.
function changed_since(commit) {
  const { status, stdout } = spawnSync("git", ["-c", `safe.directory=${root}`, "-C", root, "diff", "--name-only", commit], { encoding: "utf8" });
  return status === 0 ? stdout.split("\n").filter((name) => name !== "").map((name) => join(root, name)) : undefined;
}
const changed = options.since === undefined ? undefined : changed_since(options.since);
const through = new Set(changed?.map((name) => jobs.find(({ file }) => file === name) ?? jobs.find(({ inputs }) => inputs.includes(name))));
const due = jobs.filter((job) => options.all || ((changed === undefined || through.has(job)) && !existsSync(job.mark)));

// One line a finding: place, fault and the check's name.
const findings = (said) =>
  said.split("\n").filter((line) => / (error|warning): /.test(line)).map((line) => line.replace(`${root}/`, "")).join("\n");

function tidy({ file, build, extra, mark }) {
  return new Promise((done) => {
    const child = spawn("clang-tidy", ["--quiet", "-p", build, ...extra, file], { stdio: ["ignore", "pipe", "pipe"] });
    let said = "";
    child.stdout.on("data", (text) => (said += text));
    child.stderr.on("data", (text) => (said += text));
    child.on("close", (status) => {
      if (status === 0) writeFileSync(mark, `${relative(root, file)}\n`);
      else console.log(findings(said) || `${relative(root, file)}:\n${said}`);
      done(status === 0);
    });
  });
}

const queue = [...due];
let bad = 0;
await Promise.all(
  Array.from({ length: availableParallelism() }, async () => {
    while (queue.length > 0) if (!(await tidy(queue.shift()))) bad += 1;
  }),
);
console.log(`${jobs.length} files, ${due.length} looked at, ${bad} with findings`);
process.exit(bad === 0 && jobs.length > 0 ? 0 : 1);
