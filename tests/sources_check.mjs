// What the code cites: each anchor in sources.md is a heading of assets/docs/sources.md, and each page that a comment names
// lies in the tree, so that whoever reads the code finds what it rests on.
import { readFileSync, readdirSync } from "node:fs";
import { basename, join, relative } from "node:path";
import { check } from "./listed_check.mjs";

const kFolders = ["core", "web", "tests", "shell"];
const kSource = /\.(cpp|hpp|js|mjs|txt|sh|css|html)$/;
const kNoPage = /\bfact[s]\b/i; // a source has a title or a heading of sources.md

function files_below(folder) {
  return readdirSync(folder, { withFileTypes: true })
    .filter(({ name }) => name !== "node_modules" && !name.startsWith("."))
    .flatMap((entry) => (entry.isDirectory() ? files_below(join(folder, entry.name)) : [join(folder, entry.name)]));
}

export function check_sources(root, anchors) {
  const files = kFolders.flatMap((folder) => files_below(join(root, folder)));
  const pages = new Set([...files, ...files_below(join(root, "assets")), "README.md", "DEVELOPERS.md"].map((file) => basename(file)));
  const lines = files
    .filter((file) => kSource.test(file))
    .flatMap((file) => readFileSync(file, "utf8").split("\n").map((text, i) => ({ text, at: `${relative(root, file)}:${i + 1}` })));
  const faults = (pattern, is_wrong) =>
    lines.flatMap(({ text, at }) => [...text.matchAll(pattern)].filter(is_wrong).map(([whole]) => `${at}: ${whole}`));

  const cited = lines.flatMap(({ text }) => [...text.matchAll(/sources\.md#[\w-]+/g)]);
  check("the code cites its sources", cited.length > 0 ? [] : ["no line cites sources.md"]);
  check("every source that the code cites is in sources.md", faults(/sources\.md#([\w-]*)/g, ([, anchor]) => !anchors.includes(anchor)));
  check("every page that the code names is in the tree", [
    ...faults(/\b[\w-]+\.md\b/g, ([page]) => !pages.has(page)),
    ...lines.filter(({ text }) => kNoPage.test(text)).map(({ text, at }) => `${at}: ${text.trim()}`),
  ]);
}
