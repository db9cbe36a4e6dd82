// The README's picture, out of a screenshot of the browser tests:
//
//   tests/run --only browser && node tests/browser/picture.mjs
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { read_png, write_palette_png } from "./png.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const picture = write_palette_png(read_png(readFileSync(here("../../build/screenshots/turned-1280x800.png"))));
writeFileSync(here("../../assets/page.png"), picture);
console.log(`assets/page.png: ${Math.round(picture.length / 1000)} KB`);
