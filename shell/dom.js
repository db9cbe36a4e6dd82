// Dom: elements found, made and filled.

/** @param {string} id */
export const find = (id) => document.getElementById(id);

/**
 * @template {Element} T
 * @param {Element | null} found
 * @param {new () => T} kind
 * @param {string} name
 */
function of_kind(found, kind, name) {
  if (!(found instanceof kind)) throw new Error(`${name} is no ${kind.name}`);
  return found;
}
/**
 * @template {Element} T
 * @param {new () => T} kind
 * @returns {(id: string) => T}
 */
const by_id = (kind) => (id) => of_kind(find(id), kind, id);

// The element of an id, which is there and of that class.
export const $ = by_id(HTMLElement);
export const $button = by_id(HTMLButtonElement);
export const $canvas = by_id(HTMLCanvasElement);
export const $details = by_id(HTMLDetailsElement);
export const $dialog = by_id(HTMLDialogElement);
export const $form = by_id(HTMLFormElement);
export const $input = by_id(HTMLInputElement);
export const $progress = by_id(HTMLProgressElement);
export const $select = by_id(HTMLSelectElement);
export const $svg = by_id(SVGElement);

/**
 * All that a selector finds, each of that class.
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @param {new () => T} kind
 */
export function all(root, selector, kind) {
  return Array.from(root.querySelectorAll(selector), (each) => of_kind(each, kind, selector));
}

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */
/** @param {ParentNode} root @param {string} selector */
export function fields(root, selector) {
  return [...root.querySelectorAll(selector)].filter((each) =>
    each instanceof HTMLInputElement || each instanceof HTMLSelectElement || each instanceof HTMLTextAreaElement);
}

/**
 * What was hit, or the nearest one about it.
 * @template {Element} T
 * @param {Event} event
 * @param {string} selector
 * @param {new () => T} kind
 */
export function hit({ target }, selector, kind) {
  const found = target instanceof Element && target.closest(selector);
  return found instanceof kind ? found : undefined;
}

/**
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Partial<HTMLElementTagNameMap[Tag]>} properties
 * @param {(Node | string)[]} children
 */
export function element(tag, properties = {}, ...children) {
  const made = Object.assign(document.createElement(tag), properties);
  made.append(...children);
  return made;
}

// Beside something in a list: what it does, and for a screen reader to what.
/** @param {string} text @param {string} label @param {() => void} act */
export function list_button(text, label, act) {
  const made = element("button", { type: "button", textContent: text, ariaLabel: label });
  made.addEventListener("click", act);
  return made;
}

// A dialog is opened by many hands; `opened` hears of it, and `closed` of its end.
/** @param {HTMLDialogElement} dialog @param {() => void} opened @param {() => void} closed */
export function when_opened(dialog, opened, closed = () => {}) {
  new MutationObserver(() => (dialog.open ? opened() : closed())).observe(dialog, { attributeFilter: ["open"] });
}

// A screen reader hears of changes only.
/** @param {HTMLElement} place @param {string} text */
export function set_text(place, text) {
  if (place.textContent !== text) place.textContent = text;
}

// once(part, value, make): a part is made anew only where it comes of another value. Somebody may be reading the rest.
export function once_each() {
  /** @type {Record<string, string>} */
  const shown = {}; // what each part was last made from, as JSON
  return (/** @type {string} */ part, /** @type {unknown} */ value, /** @type {() => void} */ make) => {
    const json = JSON.stringify(value);
    if (shown[part] === json) return;
    shown[part] = json;
    make();
  };
}

/**
 * An act that takes a while is not begun again before it has ended: a second tap would do it twice.
 * @template {unknown[]} Values
 * @param {(...told: Values) => Promise<void>} act
 */
export function one_at_a_time(act) {
  let runs = false;
  return async (/** @type {Values} */ ...told) => {
    if (runs) return;
    runs = true;
    try {
      await act(...told);
    } finally {
      runs = false;
    }
  };
}
