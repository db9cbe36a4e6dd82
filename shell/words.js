// Words: what the page says, in the language that the person chose or their browser asks for. The text stands in English
// where it is used and is the key to the catalogues in assets/words; one that lacks a phrase leaves it English. Modules wait
// for this one, so that tr() may be called as they load. Another language begins with the page loaded anew.
import { each_phrase, phrase_hash, unpack_catalogue } from "./phrases.js";
import { keep, kept } from "./settings_store.js";

export const kLanguages = { en: "English", de: "Deutsch", es: "Español" };

function chosen_language() {
  const wished = [kept("language"), ...(navigator.languages ?? [])].map((tag) => String(tag).split("-")[0].toLowerCase());
  return wished.find((code) => Object.hasOwn(kLanguages, code)) ?? "en";
}

/** @param {string} code */
async function load_catalogue(code) {
  if (code === "en") return "";
  try {
    const response = await fetch(`words/${code}.txt`);
    return response.ok ? unpack_catalogue(await response.text()) : "";
  } catch {
    return ""; // the page is there, and English
  }
}

const wished = chosen_language();
export const catalogue = await load_catalogue(wished); // as the program takes it: core/phrase.hpp
export const language = catalogue === "" ? "en" : wished;
export const catalogue_file = catalogue === "" ? "" : `words/${language}.txt`; // to be kept for offline
/** @type {Map<string, string>} */
const told = new Map(catalogue.split("\n").slice(1).map((line) => [line.slice(0, 5), line.slice(5)]));

// tr("{0} is empty.", name): the phrase with its parts. What stands behind "##" only tells phrases apart.
/** @param {string} english @param {(string | number)[]} parts */
export function tr(english, ...parts) {
  const text = told.get(phrase_hash(english)) ?? english.split("##")[0];
  return text.replace(/\{(\d)\}/g, (place, i) => (i < parts.length ? String(parts[i]) : place));
}

// A number as it is read.
/** @param {number | string} number */
export function number_text(number) {
  return catalogue.startsWith(",") ? String(number).replace(".", ",") : String(number);
}

/** @param {Element} root */
export function translate(root) {
  if (told.size > 1) each_phrase(root, (english) => told.get(phrase_hash(english)));
}

function offer_languages() {
  document.documentElement.lang = language;
  const choice = document.getElementById("language");
  if (!(choice instanceof HTMLSelectElement)) return; // the guide's page
  choice.replaceChildren(...Object.entries(kLanguages).map(([code, name]) => Object.assign(new Option(name, code, false, code === language), { lang: code })));
  choice.addEventListener("change", () => {
    keep("language", choice.value);
    location.reload();
  });
}

translate(document.documentElement);
offer_languages();
