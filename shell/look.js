// Look: dark for the bench, light for daylight; as the device has it, or as chosen here. The style sheets go by data-look,
// the canvas is told by the program (web/draw/theme.hpp holds the same colours).
import { keep, kept } from "./settings_store.js";

const kGrounds = { bench: "#17130f", daylight: "#f4ecdc" };
/** @typedef {keyof typeof kGrounds} Look */
const kLight = matchMedia("(prefers-color-scheme: light)");

/** @returns {Look | undefined} */
function chosen() {
  const look = kept("look");
  return look === "bench" || look === "daylight" ? look : undefined;
}

function show() {
  const now = chosen() ?? (kLight.matches ? "daylight" : "bench");
  document.documentElement.dataset.look = now;
  document.querySelector("meta[name=theme-color]")?.setAttribute("content", kGrounds[now]);
  return now;
}

// Tells `told` which look it is, now and whenever it changes.
/** @param {(look: Look) => void} told */
export function follow_look(told) {
  const tell = () => told(show());
  kLight.addEventListener("change", tell);
  const choice = document.getElementById("look");
  if (choice instanceof HTMLSelectElement) {
    choice.value = chosen() ?? "";
    choice.addEventListener("change", () => {
      keep("look", choice.value);
      tell();
    });
  }
  tell();
}

show();
