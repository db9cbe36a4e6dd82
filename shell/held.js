import { dated } from "./dates.js";

// A number is not parted from its unit or its sign, and a date is the reader's.
/** @param {string} text */
export const held = (text) => dated(text).replaceAll(/(\d) (%|Hz|mm|ppm|dB)/g, "$1\u00a0$2").replaceAll("\u00b1 ", "\u00b1\u00a0");
