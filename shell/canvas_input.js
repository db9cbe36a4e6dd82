// CanvasInput: what happens to the canvas, or to the buttons that lie over it, for web/platform/canvas.cpp. Positions are
// pixels of the drawing from its corner: CSS pixels, but larger where the page's text is.
/** @import {Program} from "./program.js" */
/** @import {Calls} from "./types" */
import { text_size } from "./text_size.js";

export class CanvasInput {
  #canvas;
  #program;
  /** @type {number | undefined} */
  #finger;  // the pointerId that counts; a second finger does not

  /** @param {HTMLCanvasElement} canvas @param {Program} program */
  constructor(canvas, program) {
    this.#canvas = canvas;
    this.#program = program;
  }

  attach() {
    const sheet = this.#canvas.parentElement ?? this.#canvas;
    /**
     * @template {keyof HTMLElementEventMap} Type
     * @param {Type} type
     * @param {(event: HTMLElementEventMap[Type]) => void} handle
     * @param {AddEventListenerOptions} [options]
     */
    const on = (type, handle, options) => sheet.addEventListener(type, handle, options);
    on("pointerdown", (event) => this.#down(event));
    on("pointermove", (event) => this.#move(event));
    on("pointerup", (event) => this.#up(event, false));
    on("pointercancel", (event) => this.#up(event, true));
    on("pointerleave", (event) => {
      if (event.pointerType !== "touch") this.#call("canvas_mouse_leave");
    });
    on("wheel", (event) => this.#wheel(event), { passive: false });
    on("contextmenu", (event) => event.preventDefault());
    this.#canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault(); // else it is never given back
      this.#call("canvas_context_lost");
    });
    this.#canvas.addEventListener("webglcontextrestored", () => this.#call("canvas_context_restored"));
    document.addEventListener("visibilitychange", () => this.#call("canvas_redraw"));
    this.#watch_size();
  }

  // The drawing buffer, in device pixels. Setting it clears the canvas, even to the same size.
  /** @param {number} width @param {number} height */
  size(width, height) {
    if (this.#canvas.width !== width) this.#canvas.width = width;
    if (this.#canvas.height !== height) this.#canvas.height = height;
  }

  /** @template {keyof Calls} Name @param {Name} name @param {Parameters<Calls[Name]>} values */
  #call(name, ...values) {
    return this.#program.call(name, ...values);
  }

  #watch_size() {
    const observer = new ResizeObserver((entries) => this.#resized(entries.at(-1)));
    try {
      observer.observe(this.#canvas, { box: "device-pixel-content-box" }); // exact at any zoom
    } catch {
      observer.observe(this.#canvas);
    }
    text_size.when_changed(() => this.#resized());
    this.#resized();
  }
  /** @param {ResizeObserverEntry} [entry] */
  #resized(entry) {
    const { width, height } = this.#canvas.getBoundingClientRect();
    const ratio = devicePixelRatio || 1;
    const exact = entry?.devicePixelContentBoxSize?.[0];
    // An exact size differs by the snapping to whole pixels only; where a ratio is simulated it is another one.
    const pixels = (/** @type {number} */ css, snapped = NaN) =>
      (Math.abs(snapped - css * ratio) <= 1 ? snapped : Math.round(css * ratio));
    const { scale } = text_size;
    this.#call("canvas_resized", width / scale, height / scale, pixels(width, exact?.inlineSize), pixels(height, exact?.blockSize), ratio * scale);
  }

  /** @param {PointerEvent} event @returns {[x: number, y: number]} */
  #position(event) {
    const { left, top } = this.#canvas.getBoundingClientRect();
    return [(event.clientX - left) / text_size.scale, (event.clientY - top) / text_size.scale];
  }
  /** @param {PointerEvent} event */
  #down(event) {
    this.#canvas.setPointerCapture(event.pointerId); // what lies over it may go while it is held
    if (event.pointerType === "touch") {
      if (this.#finger !== undefined) return;
      this.#finger = event.pointerId;
      this.#call("canvas_touch_down", ...this.#position(event));
    } else {
      this.#call("canvas_mouse_move", ...this.#position(event));
      this.#call("canvas_mouse_button", event.button, 1);
    }
  }
  /** @param {PointerEvent} event */
  #move(event) {
    if (event.pointerType !== "touch") this.#call("canvas_mouse_move", ...this.#position(event));
    else if (event.pointerId === this.#finger) this.#call("canvas_touch_move", ...this.#position(event));
  }
  /** @param {PointerEvent} event @param {boolean} cancelled */
  #up(event, cancelled) {
    if (event.pointerType !== "touch") {
      this.#call("canvas_mouse_button", Math.max(0, event.button), 0);
    } else if (event.pointerId === this.#finger) {
      this.#finger = undefined;
      this.#call("canvas_touch_up", cancelled ? 1 : 0);
    }
  }
  /** @param {WheelEvent} event */
  #wheel(event) {
    if (event.ctrlKey || !(event.target instanceof Element && event.target.closest("#trim-field"))) return; // the browser's own zoom; the page scrolls
    event.preventDefault();
    const scale = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 32 : event.deltaMode === WheelEvent.DOM_DELTA_PAGE ? 400 : 1;
    this.#call("canvas_wheel", event.deltaX * scale, event.deltaY * scale);
  }
}
