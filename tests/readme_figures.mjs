// The README's figures: tests/readme_figures.md names them, the page of proof holds them, and the README's block between
// its two marks is what comes of both. No figure is typed by hand.
//
//   node tests/readme_figures.mjs [README.md]     renders the block anew, from the page as it lies there
//
// In the template, SECTION being a heading of the page:
//   @SECTION | ROW | COLUMN@    a table's cell: its row by the first cell, its column by the head
//   @SECTION ~ PATTERN@         the first group of a regular expression over the section's text
//   @page ~ PATTERN@            the same over the whole page
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

export const kBlock = /(<!-- figures: [^\n]* -->\n).*?(\n<!-- end of figures -->)/s;
const kMissing = "(not on the page)";

const cells_of = (line) => line.split("|").slice(1, -1).map((cell) => cell.trim());

// The page's sections by heading, each with its text and its tables: lists of rows of cells, the heads first.
export function sections_of(page) {
  const sections = { page: { text: page, tables: [] } };
  for (const part of page.split(/^## /m).slice(1)) {
    const tables = [];
    let table;
    for (const line of part.split("\n")) {
      if (!line.startsWith("|")) table = undefined;
      else if (table) table.push(cells_of(line));
      else tables.push((table = [cells_of(line)]));
    }
    sections[part.slice(0, part.indexOf("\n"))] = { text: part, tables };
  }
  return sections;
}

function cell_of(tables, row, column) {
  for (const [heads, , ...rows] of tables) {
    const at = heads.indexOf(column);
    const found = rows.find(([name]) => name === row);
    if (at > 0 && found) return found[at];
  }
  return undefined;
}

// The block's text, and what of it the page does not hold.
export function render(template, page) {
  const sections = sections_of(page);
  const missing = [];
  const text = template.replace(/@([a-zA-Z ]+) ([|~]) ([^@\n]+)@/g, (whole, name, kind, what) => {
    const section = sections[name];
    const figure = kind === "|" ? section && cell_of(section.tables, ...what.split(" | ")) : section?.text.match(new RegExp(what))?.[1];
    if (figure === undefined) missing.push(whole);
    return figure ?? kMissing;
  });
  return { text, missing };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
  const text_of = (name) => readFileSync(join(root, name), "utf8");
  const readme = process.argv[2] ?? join(root, "README.md");
  const { text, missing } = render(text_of("tests/readme_figures.md").trim(), text_of("assets/docs/proof.md"));
  const before = readFileSync(readme, "utf8");
  if (!kBlock.test(before)) throw new Error(`${readme} has no block of figures`);
  writeFileSync(readme, before.replace(kBlock, (_, begin, end) => `${begin}${text}${end}`));
  for (const figure of missing) console.error(`the page of proof does not hold ${figure}`);
  process.exit(missing.length > 0 ? 1 : 0);
}
