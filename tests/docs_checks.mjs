// What must hold of the docs as they lie in the tree: links lead somewhere, the page of proof is whole and of this core/,
// and the README's figures are the page's. tests/proof makes these; nothing is measured here. Prints "ok NAME" or
// "not ok NAME" for each check.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { check_sources } from "./sources_check.mjs";
import { check, exit_code } from "./listed_check.mjs";
import { kBlock, render } from "./readme_figures.mjs";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const kPictureBytes = 30_000; // more is drawn with more points than anyone can see
const text_of = (name) => readFileSync(join(root, name), "utf8");

const without_code = (markdown) => markdown.replace(/^ {4}.*$/gm, "").replace(/`[^`]*`/g, "");
const headings = (markdown) => [...without_code(markdown).matchAll(/^#+ (.+)$/gm)].map(([, heading]) => heading);
// As the hosts of such pages make them.
const anchor_of = (heading) => heading.toLowerCase().replace(/[^\p{L}\p{N} _-]/gu, "").replaceAll(" ", "-");

const kProof = "assets/docs/proof.md";
const kSources = "assets/docs/sources.md";
const pages = ["README.md", "DEVELOPERS.md", kProof, kSources];
check("the docs are there", pages.filter((page) => !existsSync(join(root, page))));
if (exit_code() !== 0) process.exit(exit_code());

check(
  "every link of the docs leads to a file and a heading that exist",
  pages.flatMap((page) =>
    [...without_code(text_of(page)).matchAll(/\]\(([^)\s]+)\)/g)]
      .map(([, link]) => link)
      .filter((link) => !/^[a-z]+:/.test(link))
      .filter((link) => {
        const [path, anchor] = link.split("#");
        const target = path === "" ? page : relative(root, resolve(root, dirname(page), path));
        if (!existsSync(join(root, target))) return true;
        return anchor !== undefined && !headings(text_of(target)).map(anchor_of).includes(anchor);
      })
      .map((link) => `${page}: ${link}`),
  ),
);

check_sources(root, headings(text_of(kSources)).map(anchor_of));
// What is said of safety has one source, the core; what has no core to ask says the same words.
const in_one_line = (text) => text.replace(/\s+/g, " ");
const phrases_of = (source) => [...source.matchAll(/(?:"(?:[^"\\\n]|\\.)*"\s*)+/g)].map(([literals]) => [...literals.matchAll(/"(?:[^"\\\n]|\\.)*"/g)].map(([literal]) => JSON.parse(literal)).join(""));
const caution = phrases_of(text_of("core/records/safety_text.cpp")).find((phrase) => phrase.startsWith("Mains voltage")) ?? "none in core/records/safety_text.cpp";
const adjust = /<section data-step="Adjust">(.*?)<\/section>/s.exec(text_of("shell/guide.html"))?.[1] ?? "";
const commands = text_of("README.md").split(/^## /m).find((section) => section.startsWith("Two commands")) ?? "";
check(
  "the cautions stand where the commands are told, in the guide's step that adjusts, and where a page begins",
  [["README.md, Two commands", commands], ["guide.html, Adjust", adjust], ["index.html", text_of("shell/index.html")], ["tapes.html", text_of("shell/tapes.html")]]
    .filter(([, text]) => !in_one_line(text).toLowerCase().includes(caution.toLowerCase()))
    .map(([where]) => `${where}: ${caution}`),
);
const first_turn = /\bAn? (\w+) of a turn is enough/.exec(text_of("core/records/coach_text.cpp"))?.[1];
check(
  "the guide and the coach name the same first turn",
  first_turn && new RegExp(`Turn by an? ${first_turn} of a turn\\.`).test(adjust) ? [] : [`the coach: ${first_turn} of a turn; the guide: ${/Turn by ([^.]*)/.exec(adjust)?.[1]}`],
);

const template = text_of("tests/proof_page.md");
const script = text_of("tests/proof");
const proof = text_of(kProof);
check(
  "the page of proof has all of its sections",
  headings(template)
    .filter((heading) => !headings(proof).includes(heading))
    .concat(proof.match(/@[a-z]+(?: [a-z_]+)?@/g) ?? []),
);

const printed = /^printed=\(([a-z_ ]*)\)/m.exec(script)[1].split(" "); // these draw nothing
const sections = [...script.matchAll(/^ {2}\[([a-z_]+)\]="([a-z0-9_]+)/gm)].map(([, name, program]) => ({ name, program }));
check(
  "every section has its table, its picture and the command that makes them",
  sections.flatMap(({ name, program }) =>
    [`@table ${name}@`, `@command ${name}@`, ...(printed.includes(name) ? [] : [`(proof/${name}.svg)`])]
      .filter((part) => !template.includes(part))
      .concat(proof.includes(`    build/native/${program}`) ? [] : [program])
      .map((part) => `${name}: ${part}`),
  ),
);

const folder = join(root, "assets/docs/proof");
const pictures = existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith(".svg")) : [];
check(
  "every picture is one of a section's, small, and asks for nothing from outside",
  pictures.flatMap((name) => {
    const svg = readFileSync(join(folder, name), "utf8");
    const faults = [];
    if (!sections.some((section) => `${section.name}.svg` === name)) faults.push(`${name}: no section's`);
    if (svg.length > kPictureBytes) faults.push(`${name}: ${svg.length} bytes`);
    if (/<script|href=|url\(|@import|@font-face/.test(svg)) faults.push(`${name}: asks for something`);
    return faults;
  }),
);

// ---- What was measured, and what the README says of it ---------------------------------------------------------------

// What git answers; nothing without git, history, or what is asked for.
function git(...words) {
  try {
    return execFileSync("git", ["-c", `safe.directory=${root}`, "-C", root, ...words], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  } catch {
    return undefined;
  }
}
// What the programs of the two pages run: a card or a text of the page changes no figure there.
const kOfProof = /^(?:demo|flutter|signal|song|tone)\/|^reading\./;
const kOfAnyTape = /^(?:signal|tapes)\/|^song\/rate_changer\./;
// Formatting is not measuring: two trees are the same code where every file is the same but for white space.
function is_same_code(one, other, measured) {
  const changed = git("diff", "--name-only", one, other);
  const bare = (tree, name) => git("show", `${tree}:${name}`)?.replace(/\s+/g, "");
  return changed !== undefined && changed.split("\n").filter((name) => measured.test(name)).every((name) => bare(one, name) !== undefined && bare(one, name) === bare(other, name));
}
const seed_of = (tree) => Number.parseInt(createHash("sha256").update(tree).digest("hex").slice(0, 7), 16); // as proof_seed

const [, measured, seed] = /the tree `([0-9a-f]{40})` of `core\/` in Git, seed \*\*(\d+)\*\*/.exec(proof) ?? [];
const tree = git("rev-parse", "--verify", "--quiet", "HEAD:core")?.trim();
check("the page of proof measured what core/ measures with now", [
  ...(tree === undefined ? ["there is no history to compare with: this needs git and a clone"] : []),
  ...(tree !== undefined && tree !== measured && !(measured && is_same_code(measured, tree, kOfProof)) ? [`it measured ${measured ?? "another one"}, committed is ${tree}: run tests/proof`] : []),
]);
const [, heard, heard_seed] = /The tree `([0-9a-f]{40})` of `core\/` in Git, seed \*\*(\d+)\*\*/.exec(text_of("assets/docs/any_tape.md")) ?? [];
check("the page of any tape measured what core/ measures with now, on the seed that follows from it", [
  ...(tree !== undefined && !(heard && is_same_code(heard, tree, kOfAnyTape)) ? [`it measured ${heard ?? "another one"}, committed is ${tree}: run tests/proof_any_tape`] : []),
  ...(heard && seed_of(heard) === Number(heard_seed) ? [] : [`seed ${heard_seed}`]),
]);
check(
  "the seed of the proof is the one that follows from that core/, in every command",
  [
    ...(measured && seed_of(measured) === Number(seed) ? [] : [`seed ${seed}`]),
    ...[...proof.matchAll(/^ {4}build\/native\/(four76_\w+.*)$/gm)]
      .map(([, command]) => command)
      .filter((command) => !/^four76_flutter_tables\b/.test(command) && !command.split(" ").includes(String(seed))), // tables have no seed
  ],
);

const kFigures = "tests/readme_figures.md";
const figures = render(text_of(kFigures).trim(), proof);
const block = kBlock.exec(text_of("README.md"))?.[0].split("\n").slice(1, -1).join("\n");
check("the page of proof holds every figure that the README is to have", figures.missing);
check("the README's figures are the page's, number by number", block === figures.text ? [] : [`run node tests/readme_figures.mjs`]);
// What the template itself says in digits is a condition, and the page names it, too.
const numbers_in = (text) => text.replace(/\]\([^)]*\)/g, "").match(/\d[\d,]*(?:\.\d+)?/g) ?? [];
const on_the_page = new Set(numbers_in(proof));
check(
  "no number among the README's figures is unknown to the page",
  [...new Set(numbers_in(block ?? ""))].filter((number) => !on_the_page.has(number)),
);

process.exit(exit_code());
