// Watch: the speed over minutes to a whole side, drawn. What its course means is the program's to say.
/** @import {Change, State, Watch} from "./types" */
import { two } from "./dates.js";
import { $, $dialog, $svg, element, set_text, when_opened } from "./dom.js";
import { held } from "./held.js";
import { number_text } from "./words.js";

const kWidth = 600, kHeight = 160, kLeft = 64;

/** @param {string} name @param {Record<string, string | number>} attributes @param {string} text */
function shape(name, attributes, text = "") {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.textContent = text;
  return made;
}

export class WatchDialog {
  #shown = "";

  #dialog = $dialog("watch");

  /** @param {{change: Change}} page */
  constructor({ change }) {
    when_opened(this.#dialog, () => change("watch", "open"), () => change("watch", ""));
  }

  /** @param {State} state */
  show({ watch: { large, detail, gaps, course }, controls }) {
    const json = JSON.stringify([large, detail, gaps, course]);
    if (!this.#dialog.open || json === this.#shown) return;
    this.#shown = json;
    set_text($("watch-large"), held(large));
    set_text($("watch-detail"), held(detail));
    $("watch-gaps").replaceChildren(...gaps.map((text) => element("li", { textContent: text })));
    $("watch-gaps-part").hidden = gaps.length === 0;
    this.#draw(course, Number(controls.tolerance.value));
  }

  /** @param {Watch["course"]} course @param {number} tolerance */
  #draw(course, tolerance) {
    const picture = $svg("watch-course");
    picture.toggleAttribute("hidden", course.length < 2);
    if (course.length < 2) return;
    const end_s = course[course.length - 1][0], step_s = (end_s - course[0][0]) / (course.length - 1);
    const reach = Math.max(tolerance * 1.2, ...course.map(([, percent]) => 1.1 * Math.abs(percent)));
    const x = (/** @type {number} */ at_s) => kLeft + ((kWidth - kLeft - 8) * at_s) / end_s;
    const y = (/** @type {number} */ percent) => kHeight / 2 - 6 - ((kHeight / 2 - 16) * percent) / reach;
    const parts = [shape("rect", { class: "band", x: kLeft, width: kWidth - kLeft - 8, y: y(tolerance), height: y(-tolerance) - y(tolerance) })];
    for (const percent of [tolerance, 0, -tolerance]) {
      parts.push(shape("line", { class: "edge", x1: kLeft, x2: kWidth - 8, y1: y(percent), y2: y(percent) }));
      parts.push(shape("text", { x: kLeft - 6, y: y(percent) + 5, "text-anchor": "end" }, percent === 0 ? "0" : `${percent > 0 ? "+" : "\u2212"}${number_text(Math.abs(percent))} %`));
    }
    /** @type {string[]} */
    let run = [];
    const flush = () => {
      if (run.length > 1) parts.push(shape("polyline", { class: "line", points: run.join(" ") }));
      run = [];
    };
    for (const [i, [at_s, percent]] of course.entries()) {
      if (i > 0 && at_s - course[i - 1][0] > 3 * step_s + 2) flush(); // a gap stays a gap
      run.push(`${x(at_s).toFixed(1)},${y(percent).toFixed(1)}`);
    }
    flush();
    const minutes = (/** @type {number} */ seconds) => `${Math.floor(seconds / 60)}:${two(Math.floor(seconds % 60))}`;
    parts.push(shape("text", { x: kLeft, y: kHeight - 2 }, "0:00"), shape("text", { x: kWidth - 8, y: kHeight - 2, "text-anchor": "end" }, minutes(end_s)));
    picture.replaceChildren(...parts);
  }
}
