// Phrases: which texts of a page are told in another language, and how one is put in the place of another. A phrase is all
// of an element that has text of its own; the elements within it are numbered, "Pull the plug. <1>All about safety</1>", so
// that a translation can order them anew. The browser and tests/words_check.mjs find the same ones.
const kAttributes = ["aria-label", "title", "placeholder", "data-step"];
const kSymbols = /^(?:<\d+\/>)?(?:Hz|mm|ppm|cm\/s|min:s|C\d+|Four76|CSV)?$/;

/** @param {string} text */
function is_phrase(text) {
  return /\p{L}{2}/u.test(text.replace(/<[^>]*>/g, "")) && !kSymbols.test(text);
}

// FNV-1a over the bytes, folded to 20 bits, as core/phrase.hpp does it.
/** @param {string} english */
export function phrase_hash(english) {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(english)) hash = Math.imul(hash ^ byte, 0x01000193);
  return ((hash >>> 20) ^ (hash & 0xfffff)).toString(16).padStart(5, "0");
}

// A language's catalogue as core/phrase.hpp takes it: the decimal mark, then a line of hash and text for each phrase. Over
// the network it goes shorter: the texts in the order of their hashes, and the steps between those as two digits each;
// the largest two stand for as large a step, to be gone before the next.
const kDigits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
const kLargestStep = kDigits.length ** 2 - 1;

/** @param {string} catalogue */
export function pack_catalogue(catalogue) {
  const [mark, ...lines] = catalogue.split("\n").filter((line) => line !== "");
  lines.sort(); // by hash: all have five digits
  let last = 0;
  /** @type {(step: number) => string} */
  const digits_of = (step) => (step >= kLargestStep ? "__" + digits_of(step - kLargestStep) : kDigits[step >> 6] + kDigits[step & 63]);
  const steps = lines.map((line) => {
    const step = parseInt(line.slice(0, 5), 16) - last;
    last += step;
    return digits_of(step);
  });
  return [mark, steps.join(""), ...lines.map((line) => line.slice(5)), ""].join("\n");
}

/** @param {string} packed */
export function unpack_catalogue(packed) {
  const [mark, steps, ...texts] = packed.split("\n");
  /** @type {string[]} */
  const lines = [];
  let hash = 0;
  for (let at = 0; at < steps.length; at += 2) {
    const step = 64 * kDigits.indexOf(steps[at]) + kDigits.indexOf(steps[at + 1]);
    hash += step;
    if (step < kLargestStep) lines.push(hash.toString(16).padStart(5, "0") + texts[lines.length]);
  }
  return [mark, ...lines, ""].join("\n");
}

// By their numbers: tests/words_check.mjs has no classes of them.
/** @param {Node} node @returns {node is Text} */
const is_text = (node) => node.nodeType === 3;
/** @param {Node} node @returns {node is Element} */
const is_element = (node) => node.nodeType === 1;

// The phrase of an element, and the elements that its numbers stand for.
/** @param {Element} element */
function phrase_of(element) {
  /** @type {Element[]} */
  const inner = [];
  /** @type {(node: Node) => string} */
  const text_of = (node) => [...node.childNodes].map((child) => {
    if (is_text(child)) return child.data.replace(/[ \t\r\n]+/g, " ");
    if (!is_element(child)) return "";
    const number = inner.push(child);
    const text = text_of(child);
    return text.trim() === "" ? `<${number}/>` : `<${number}>${text}</${number}>`;
  }).join("");
  return { text: text_of(element).trim(), inner };
}

/** @param {Element} element @param {Element[]} inner @param {string} text */
function refill(element, inner, text) {
  const open = [element];
  const stays = (/** @type {Node} */ child) => !is_text(child) && !(is_element(child) && inner.includes(child));
  for (const node of [element, ...inner]) node.replaceChildren(...[...node.childNodes].filter(stays));
  for (const piece of text.split(/(<\/?\d+\/?>)/)) {
    const [, closes, number, empty] = /^<(\/?)(\d+)(\/?)>$/.exec(piece) ?? [];
    if (number === undefined) {
      if (piece !== "") open[open.length - 1].append(piece);
    } else if (closes) {
      open.pop();
    } else {
      const child = inner[Number(number) - 1];
      open[open.length - 1].append(child);
      if (!empty) open.push(child);
    }
  }
}

// Calls `told` with each phrase below the root and puts what it answers, if anything, in its place.
/** @param {Element} root @param {(text: string) => string | undefined} told */
export function each_phrase(root, told) {
  const visit = (/** @type {Element} */ element) => {
    if (["SCRIPT", "STYLE"].includes(element.tagName)) return;
    for (const name of kAttributes) {
      const text = element.getAttribute(name);
      const other = text && is_phrase(text) ? told(text) : undefined;
      if (other !== undefined) element.setAttribute(name, other);
    }
    const own = [...element.childNodes].some((child) => is_text(child) && child.data.trim() !== "");
    const children = [...element.children];
    if (own) {
      const { text, inner } = phrase_of(element);
      const other = is_phrase(text) ? told(text) : undefined;
      if (other !== undefined) refill(element, inner, other);
      for (const child of inner) for (const name of kAttributes) {
        const said = child.getAttribute(name);
        const new_said = said && is_phrase(said) ? told(said) : undefined;
        if (new_said !== undefined) child.setAttribute(name, new_said);
      }
    } else {
      children.forEach(visit);
    }
  };
  visit(root);
}
