// Drawn: what the canvas draws as a button is one, for the keyboard and for a screen reader. Each lies over its drawing and
// shows nothing but its ring. Fingers and mouse go on to the canvas (canvas_input.js); all other presses come from here.
/** @import {DrawnControl, DrawnTold} from "./types" */
import { $, element } from "./dom.js";
import { text_size } from "./text_size.js";

export class Drawn {
  #place = $("drawn");
  #slider = $("trim-field");
  /** @type {Map<string, HTMLElement>} */
  #made = new Map();
  #height = 0;      // that the drawing needs, in its own pixels
  #pointed = false; // a finger or the mouse came down here: the click that follows is its own

  /** @param {(id: string) => void} press */
  constructor(press) {
    const sheet = this.#place.parentElement ?? this.#place;
    sheet.addEventListener("pointerdown", () => (this.#pointed = true));
    sheet.addEventListener("click", ({ target, detail }) => {
      const by_pointer = this.#pointed && detail > 0; // a click without a pointer is an assistive technology's
      this.#pointed = false;
      const drawn = target instanceof HTMLElement ? target.dataset.drawn : undefined;
      if (drawn && !by_pointer) press(drawn);
    });
    // The hand turns what is drawn, round and round; the slider is not to follow it.
    for (const type of ["mousedown", "touchstart"]) {
      this.#slider.addEventListener(type, (event) => {
        if (!this.#slider.classList.contains("apart")) event.preventDefault();
      }, { passive: false });
    }
  }

  /** @param {DrawnTold} told */
  show({ height, controls }) {
    this.#height = height;
    this.fit();
    const wanted = controls.map((control) => this.#lay(...control));
    const lost = [...this.#place.children].findIndex((made) => made === document.activeElement);
    for (const [id, made] of this.#made) {
      if (wanted.includes(made)) continue;
      made.remove();
      this.#made.delete(id);
    }
    if (!wanted.includes(this.#slider)) this.#take_slider_back();
    wanted.forEach((made, i) => {
      if (this.#place.children[i] !== made) this.#place.insertBefore(made, this.#place.children[i] ?? null);
    });
    // What was pressed may be gone: the keyboard goes on with what stands there now.
    if (lost >= 0 && document.activeElement === document.body) wanted[Math.min(lost, wanted.length - 1)]?.focus({ preventScroll: true });
  }

  // The page scrolls where its text is so large that the drawing has too little room.
  fit() {
    const { scale } = text_size;
    this.#place.style.transform = scale === 1 ? "" : `scale(${scale})`;
    $("stage").style.minHeight = text_size.flows ? `${Math.ceil(this.#height * scale)}px` : "";
  }

  /** @param {DrawnControl} control */
  #lay(...[id, name, kind, x, y, w, h]) {
    const made = kind === "slider" ? this.#slider : this.#button(id, name, kind);
    Object.assign(made.style, { left: `${x}px`, top: `${y}px`, width: `${w}px`, height: `${h}px` });
    made.classList.remove("apart");
    return made;
  }
  /** @param {string} id @param {string} name @param {DrawnControl[2]} kind */
  #button(id, name, kind) {
    const made = this.#made.get(id) ?? element("button", { type: "button" });
    made.dataset.drawn = id;
    this.#made.set(id, made);
    if (made.ariaLabel !== name) made.ariaLabel = name;
    if (kind !== "button") made.ariaPressed = String(kind === "on");
    return made;
  }
  // Where it is not drawn, it is shown where the keyboard is.
  #take_slider_back() {
    this.#slider.classList.add("apart");
    this.#slider.removeAttribute("style");
  }
}
