// Text size: how large the person has the page's text, in their browser or by their system. The drawing is as much larger,
// and what stands side by side wants as much more room; where there is none, all stands in one column that scrolls.
import { element } from "./dom.js";

const kUsualPx = 16;
const kMost = 2;        // as WCAG 2.2 asks for (1.4.4)
const kFlowsFrom = 1.05;

// What stands side by side, by a word of its media (on_side.css, desk.css), and the room that it asks for at the usual size:
// that of the smallest screens it is drawn for, in px.
const kOnSide = { word: "landscape", width: 667, height: 320 };
const kDesk = { word: "1000px", width: 1000, height: 521 };

// A style sheet that broke off on the way arranges nothing; browsers refuse to read it.
function media_rules() {
  const link = document.querySelector("link[href='index.css']");
  try {
    return [...((link instanceof HTMLLinkElement && link.sheet?.cssRules) || [])].filter((rule) => rule instanceof CSSMediaRule);
  } catch {
    return [];
  }
}

class TextSize {
  scale = 0;
  flows = false; // one column that scrolls
  #probe = element("span", { id: "letter", className: "apart", textContent: "0", ariaHidden: "true" });
  #rules = media_rules();
  #arrangements = [kOnSide, kDesk].flatMap((of) => {
    const media = this.#rules.find((rule) => rule.conditionText.includes(of.word))?.media;
    return media ? [{ of, media, usual: media.mediaText }] : [];
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
    return this.#arrangements.some(({ of, media }) => of === kDesk && matchMedia(media.mediaText).matches);
  }

  #measure() {
    const scale = Math.round(100 * Math.min(kMost, Math.max(1, this.#probe.getBoundingClientRect().height / kUsualPx))) / 100;
    if (scale === this.scale) return;
    this.scale = scale;
    for (const { of, media, usual } of this.#arrangements) {
      media.mediaText = scale === 1 ? usual : `${usual} and (min-width: ${of.width * scale}px) and (min-height: ${of.height * scale}px)`;
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
