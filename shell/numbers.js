// Numbers as people type them, and as the program reads them. How they are shown: number_text in words.js.
import { number_text, tr } from "./words.js";

// "3 150", "0,5" and "−2" are numbers as people type them.
/** @param {string} text */
export function number_of(text) {
  const plain = text.trim().replace(/[\s\u00a0\u202f]/g, "").replace(",", ".").replace("\u2212", "-");
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
}

// A number as the program reads it: JavaScript's own text of a small one, "7e-7", it does not take.
/** @param {number} number */
export function figures_of(number) {
  return number !== 0 && Math.abs(number) < 1e-6 ? number.toFixed(15) : String(number);
}

/**
 * @param {number | undefined} number
 * @param {number} lowest
 * @param {number} highest
 * @returns {number is number}
 */
export function is_within(number, lowest, highest) {
  return number !== undefined && number >= lowest && number <= highest;
}
/** @param {number | string} lowest @param {number | string} highest @param {string} unit */
export function ask_for_number(lowest, highest, unit) {
  return tr("Please type a number from {0} to {1} {2}.", number_text(lowest), number_text(highest), unit);
}
