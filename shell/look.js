// Look: dark for the bench, light for daylight; as the device has it, or as chosen here. The style sheets go by data-look,
// the canvas is told by the program (web/draw/theme.hpp holds the same colours).
import { keep, kept } from "./settings_store.js";

const kGrounds = { bench: "#17130f", daylight: "#f4ecdc" };
const kLight = matchMedia("(prefers-color-scheme: light)");

function look() {
  const chosen = kept("look");
  if (Object.hasOwn(kGrounds, chosen)) return chosen;
  return kLight.matches ? "daylight" : "bench";
}

function show() {
  const now = look();
  document.documentElement.dataset.look = now;
  document.querySelector("meta[name=theme-color]")?.setAttribute("content", kGrounds[now]);
  return now;
}

// Tells `told` which look it is, now and whenever it changes.
export function follow_look(told) {
  const tell = () => told(show());
  kLight.addEventListener("change", tell);
  const choice = document.getElementById("look");
  choice.value = Object.hasOwn(kGrounds, kept("look")) ? kept("look") : "";
  choice.addEventListener("change", () => {
    keep("look", choice.value);
    tell();
  });
  tell();
}

show();
