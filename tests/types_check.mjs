// shell/types.d.ts knows all that crosses between program and page: every key that the program writes, every function that
// it exports, and all that it asks of the page. Of which kind each is, this cannot tell. Prints "ok NAME" or "not ok NAME".
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
process.exit(exit_code());
