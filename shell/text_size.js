// Text size: how large the person has the page's text, in their browser or by their system. The drawing is as much larger,
// and what stands side by side wants as much more room; where there is none, all stands in one column that scrolls.
import { element } from "./dom.js";

const kUsualPx = 16;
const kMost = 2;        // as WCAG 2.2 asks for (1.4.4)
const kFlowsFrom = 1.05;

// The arrangements of page.css, by a word of their media, and what they ask for at another size: px of the usual one.
/** @type {[word: string, width: number, height: number][]} */
const kArrangements = [["landscape", 667, 320], ["1000px", 1000, 521]];

/** @param {string} word @returns {never} */
function lost(word) {
  throw new Error(`no style sheet arranges by ${word}`);
}

class TextSize {
  scale = 0;
  flows = false; // one column that scrolls
  #probe = element("span", { id: "letter", className: "apart", textContent: "0", ariaHidden: "true" });
  #media = [...document.styleSheets].flatMap(({ cssRules }) => [...cssRules]).filter((rule) => rule instanceof CSSMediaRule);
  #arrangements = kArrangements.map(([word, width, height]) => {
    const { media } = this.#media.find((rule) => rule.conditionText.includes(word)) ?? lost(word);
    return { media, usual: media.mediaText, width, height };
  });
  /** @type {(() => void)[]} */
  #listeners = [];

  constructor() {
    document.body.append(this.#probe);
    this.#measure();
    // Its box is as high as a letter: it changes with the root's font size, and with a zoom of the text alone.
    new ResizeObserver(() => this.#measure()).observe(this.#probe);
    addEventListener("resize", () => this.#arrange());
  }

  // When the size or the arrangement changes.
  /** @param {() => void} listener */
  when_changed(listener) {
    this.#listeners.push(listener);
  }
  // Whether the card has room beside the instrument.
  get is_roomy() {
    return matchMedia(this.#arrangements[1].media.mediaText).matches;
  }

  #measure() {
    const scale = Math.round(100 * Math.min(kMost, Math.max(1, this.#probe.getBoundingClientRect().height / kUsualPx))) / 100;
    if (scale === this.scale) return;
    this.scale = scale;
    for (const { media, usual, width, height } of this.#arrangements) {
      media.mediaText = scale === 1 ? usual : `${usual} and (min-width: ${width * scale}px) and (min-height: ${height * scale}px)`;
    }
    this.#arrange();
  }
  #arrange() {
    this.flows = this.scale >= kFlowsFrom && !this.#arrangements.some(({ media }) => matchMedia(media.mediaText).matches);
    document.documentElement.toggleAttribute("data-flows", this.flows);
    for (const listener of this.#listeners) listener();
  }
}

export const text_size = new TextSize();
