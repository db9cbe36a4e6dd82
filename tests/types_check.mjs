// shell/types.d.ts knows all that crosses between program and page: every key that the program writes, every function that
// it exports, all that it asks of the page, and every value of the enums that cross by name or by number. Of which kind a
// field is, this cannot tell. Prints "ok NAME" or "not ok NAME".
import { readFileSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { check, exit_code } from "./listed_check.mjs";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const text_of = (name) => readFileSync(join(root, name), "utf8");
const web = readdirSync(join(root, "web"), { recursive: true }).filter((name) => name.endsWith(".cpp")).map((name) => `web/${name}`);
const kWriters = [...web.filter((name) => /mirror|doors/.test(name)), "core/records/card_write.cpp"];

const known = new Set(text_of("shell/types.d.ts").match(/[\w-]+/g));
// What stands in the files but not in the types; with none found at all the pattern is out of date.
function unknown(files, pattern) {
  const found = files.flatMap((file) => [...text_of(file).matchAll(pattern)].map(([, name]) => ({ file, name })));
  if (found.length === 0) return ["none is found"];
  return found.filter(({ name }) => !known.has(name) && !known.has(`_${name}`)).map(({ file, name }) => `${file}: ${name}`);
}

check("the types know every key that the program writes", unknown(kWriters, /\b(?:key|text|number|flag|value)\("([\w-]+)"[,)]/g));
check("the types know every function that the program exports", unknown(web, /EMSCRIPTEN_KEEPALIVE[^(]*?\b(\w+)\(/g));
check("the types know all that the program asks of the page", unknown(web, /Module\.page\.(\w+)/g));

// The values of a C++ enum in their order, of a type's union, and of a list in a script.
const values_in = (text, pattern) => [...(pattern.exec(text)?.[1] ?? "").replaceAll(/\/\/.*$/gm, "").matchAll(/\w+/g)].map(([word]) => word);
const enum_values = (file, name) => values_in(text_of(file), new RegExp(`enum class ${name} : std::uint8_t \\{([^}]*)\\}`));
const union_values = (name) => values_in(text_of("shell/types.d.ts"), new RegExp(`export type ${name} =([^;]*);`));
const listed_values = (name) => values_in(text_of("shell/program.js"), new RegExp(`const ${name} = \\[([^\\]]*)\\]`));
const differ = (ours, theirs) => (ours.length > 0 && ours.join() === theirs.join() ? [] : [`C++: ${ours.join(" ")}`, `script: ${theirs.join(" ")}`]);

const kEnums = {
  AdviceKind: "core/bench/coach.hpp", CaptureFault: "web/platform/browser.hpp", CauseKind: "core/flutter/repair_steps.hpp",
  Interruption: "web/platform/browser.hpp", Phase: "web/run/state.hpp", Reason: "core/reading.hpp", Rule: "core/flutter/verdicts.hpp",
  SongReason: "core/song/song_match.hpp", Status: "core/reading.hpp", TapePlace: "core/bench/visit.hpp",
  TapeReason: "core/tapes/tape_evidence.hpp", TapeStatus: "core/tapes/speed_posterior.hpp",
  VisitSource: "core/bench/visit.hpp", VisitStage: "core/bench/visit.hpp", VisitVerdict: "core/bench/visit.hpp",
};
for (const [name, file] of Object.entries(kEnums)) {
  check(`the type ${name} has the values of ${file}`, differ(enum_values(file, name).sort(), union_values(name).sort()));
}
check("faults of a capture cross by their number", differ(enum_values("web/platform/browser.hpp", "CaptureFault"), listed_values("kFaults")));
check("interruptions cross by their number", differ(enum_values("web/platform/browser.hpp", "Interruption"), listed_values("kInterruptions")));
process.exit(exit_code());
