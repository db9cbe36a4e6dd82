// The look's values are the same in shell/theme.css, web/draw/theme.hpp and assets/docs/look.md, and their contrast is what WCAG
// 2.2 asks for (1.4.3: text 4.5:1; 1.4.11: what must be seen of a control or a drawing 3:1) and what the page says.
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { check, exit_code } from "./listed_check.mjs";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const read = (name) => readFileSync(join(root, name), "utf8");

// Relative luminance and contrast as WCAG 2.2 defines them.
function luminance(hex) {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(one, other) {
  const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
}

const variables = (css) => Object.fromEntries([...css.matchAll(/--([a-z-]+):\s*(#[0-9a-f]{6})/gi)].map(([, name, hex]) => [name, hex.toLowerCase()]));
const css = read("shell/theme.css");
const page = { bench: variables(/:root \{([^}]*)\}/.exec(css)[1]), daylight: variables(/:root\[data-look="daylight"\] \{([^}]*)\}/.exec(css)[1]) };

const colours = (text) => Object.fromEntries([...text.matchAll(/\.(\w+) = rgb\(0x([0-9A-F]{6})\)/gi)].map(([, name, hex]) => [name, `#${hex.toLowerCase()}`]));
const hpp = read("web/draw/theme.hpp");
const canvas = { bench: colours(/kBench\{([^}]*)\}/.exec(hpp)[1]), daylight: colours(/kDaylight\{([^}]*)\}/.exec(hpp)[1]) };

const kSame = { ground: "ground", raised: "raised", edge: "line", paper: "paper", "paper-dim": "dim", accent: "accent", warning: "warning", "on-accent": "on_accent" };
// [ink, what it stands on, the least contrast]
const kOfPage = [["paper", "ground", 7], ["paper", "raised", 7], ["paper-dim", "ground", 4.5], ["paper-dim", "raised", 4.5], ["accent", "ground", 4.5], ["accent", "raised", 4.5],
  ["warning", "ground", 4.5], ["warning", "raised", 4.5], ["on-accent", "accent", 4.5], ["field", "ground", 3], ["field", "raised", 3]];
const kOfCanvas = [["paper", "lifted", 7], ["dim", "lifted", 4.5], ["accent", "lifted", 4.5], ["paper", "tape", 4.5], ["paper", "tape_sheen", 3], ["paper", "tape_shade", 3], ["tape_edge", "ground", 3], ["metal", "ground", 3]];

const doc = read("assets/docs/look.md");
const rows = doc.split("\n").filter((line) => /^\| [a-z-]+ \|.*#[0-9a-f]{6}/.test(line)).map((line) => line.split("|").slice(1, -1).map((cell) => cell.trim().replaceAll("`", "")));

for (const [place, look] of [["dark", "bench"], ["light", "daylight"]]) {
  const inks = page[look];
  check(`${place}: page and canvas have the same inks`, Object.entries(kSame).filter(([name, other]) => inks[name] !== canvas[look][other]).map(([name, other]) => `${name} ${inks[name]}, ${other} ${canvas[look][other]}`));
  const too_faint = (of, pairs) => pairs.filter(([ink, on, least]) => !(contrast(of[ink], of[on]) >= least)).map(([ink, on, least]) => `${ink} on ${on}: ${contrast(of[ink], of[on]).toFixed(2)}, ${least} is asked`);
  check(`${place}: every ink is seen on what it stands on`, [...too_faint(inks, kOfPage), ...too_faint(canvas[look], kOfCanvas)]);
  const first = look === "bench" ? 2 : 5;
  check(`${place}: the docs have the values and their contrast`, rows.flatMap((row) => {
    const [ink] = row;
    const [hex, on_ground, on_raised] = row.slice(first, first + 3);
    const faults = hex === inks[ink] ? [] : [`${ink}: ${hex}, the style sheet has ${inks[ink]}`];
    for (const [told, on] of [[on_ground, "ground"], [on_raised, "raised"]]) {
      if (told !== "" && Math.abs(Number(told) - contrast(inks[ink], inks[on])) > 0.051) faults.push(`${ink} on ${on}: ${told}, it is ${contrast(inks[ink], inks[on]).toFixed(2)}`);
    }
    return faults;
  }));
}
check("the docs have every ink of the page", Object.keys(page.bench).filter((ink) => ink !== "on-accent" && !rows.some(([name]) => name === ink)));
process.exit(exit_code());
