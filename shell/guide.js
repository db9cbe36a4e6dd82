// Guide: the whole job, a step at a time. The text is guide.html, a page that can be read and printed by itself; here its
// steps stand in a dialog beside the bench, with buttons that lead to it. It opens where it was left.
/** @import {Usable} from "./types" */
import { $, $button, $dialog, $select, all, find, hit, when_opened } from "./dom.js";
import { keep, kept } from "./settings_store.js";
import { tr, translate } from "./words.js";

export class GuideDialog {
  #dialog = $dialog("guide");
  #place = $("guide-step");
  #choice = $select("guide-choice");
  #back = $button("guide-back");
  #next = $button("guide-next");
  /** @type {HTMLElement[]} */
  #steps = [];
  #at = 0;
  /** @type {Partial<Usable>} */
  #usable = {};

  constructor() {
    this.#back.addEventListener("click", () => this.#show_step(this.#at - 1));
    this.#next.addEventListener("click", () => this.#show_step(this.#at + 1));
    this.#choice.addEventListener("change", () => this.#show_step(Number(this.#choice.value)));
    // What a button begins is to be seen.
    this.#place.addEventListener("click", (event) => {
      if (hit(event, "[data-act]", HTMLElement)) this.#dialog.close();
    });
    when_opened(this.#dialog, () => this.#load());
  }

  /** @param {Usable} usable */
  show(usable) {
    this.#usable = usable;
    if (this.#dialog.open) this.#show_usable();
  }

  async #load() {
    if (this.#steps.length > 0) return;
    try {
      const response = await fetch("guide.html");
      if (!response.ok) throw new Error(response.statusText);
      const page = new DOMParser().parseFromString(await response.text(), "text/html");
      translate(page.body);
      this.#steps = all(page, "[data-step]", HTMLElement);
    } catch {
      this.#place.textContent = tr("The guide could not be loaded. Check the network, then open it again.");
      return;
    }
    for (const part of this.#steps.flatMap((step) => all(step, ".in-page", HTMLElement))) part.hidden = false;
    this.#choice.replaceChildren(...this.#steps.map((step, i) => new Option(tr("{0} of {1}: {2}", i + 1, this.#steps.length, step.dataset.step ?? ""), String(i))));
    this.#show_step(Number(kept("guide") ?? 0));
  }
  /** @param {number} wanted */
  #show_step(wanted) {
    this.#at = Math.min(Math.max(0, Math.trunc(wanted) || 0), this.#steps.length - 1);
    this.#place.replaceChildren(this.#steps[this.#at]);
    if (this.#place.parentElement) this.#place.parentElement.scrollTop = 0;
    this.#choice.value = String(this.#at);
    this.#back.disabled = this.#at === 0;
    this.#next.disabled = this.#at === this.#steps.length - 1;
    keep("guide", String(this.#at));
    this.#show_usable();
  }
  // What cannot be pressed now is not offered.
  #show_usable() {
    const buttons = (/** @type {string} */ selector) => all(this.#place, selector, HTMLElement);
    for (const button of buttons("[data-act]")) button.hidden = !this.#usable[button.dataset.act ?? ""];
    for (const button of buttons("[data-help]")) button.hidden = !find(button.dataset.help ?? "");
  }
}
