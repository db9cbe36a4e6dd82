// What must hold of the docs as they lie in the tree: links lead somewhere, and the page of proof is whole. It is made by
// tests/proof; nothing is measured here. Prints "ok NAME" or "not ok NAME" for each check.
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { check_sources } from "./sources_check.mjs";
import { check, exit_code } from "./listed_check.mjs";

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

const template = text_of("tests/proof_page.md");
const script = text_of("tests/proof");
const proof = text_of(kProof);
check(
  "the page of proof has all of its sections",
  headings(template)
    .filter((heading) => !headings(proof).includes(heading))
    .concat(proof.match(/@[a-z]+(?: [a-z_]+)?@/g) ?? []),
);

const sections = [...script.matchAll(/^ {2}\[([a-z_]+)\]="([a-z0-9_]+)/gm)].map(([, name, program]) => ({ name, program }));
check(
  "every section has its table, its picture and the command that makes them",
  sections.flatMap(({ name, program }) =>
    [`@table ${name}@`, `@command ${name}@`, `(proof/${name}.svg)`]
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

process.exit(exit_code());
