// Controls: the buttons, the settings and the messages. They show what the program says and tell it what was pressed.
/** @import {Change, Control, ControlName, Phase, State, Weight, Words} from "./types" */
import { $, $button, $input, $select, all, element, find, hit, once_each } from "./dom.js";
import { number_text, tr } from "./words.js";

/** @type {Record<string, string>} */
const kActLabels = {
  "act-listen": tr("Listen again"),
  "act-stop": tr("Stop"),
  "act-open-file": tr("Open file"),
  "act-update": tr("Take it now"),
  "act-forget-clocks": tr("Throw it away"),
  "act-forget-tapes": tr("Throw it away"),
  "act-cards": tr("Cards"),
  "act-answer": tr("Measure it"),
  "act-friend": tr("Open"),
};

const kDoubleTapMs = 700;
/** @type {Record<string, {stage: string, name: string}>} */
const kStages = { "act-as-found": { stage: "as_found", name: tr("As found") }, "act-as-left": { stage: "as_left", name: tr("As left") } };
/** @type {Partial<Record<Phase, string>>} */
const kStopLabels = { measuring_file: tr("Cancel"), file_shown: tr("Close file") };

// What takes its time. A measurement that goes onto a card is told by its own button.
/** @typedef {{act: string, label: string, text: string, part: number}} Waits */
/** @param {State} state @returns {Waits | undefined} */
function waits_for({ progress, status_line }) {
  return progress === null ? undefined : { act: "act-stop", label: tr("Cancel"), text: status_line, part: progress };
}

export class Controls {
  #press;
  #change;
  #once = once_each();
  /** @type {Record<string, string>} */
  #values = {};
  #started = false;
  #rested = false;  // the welcome was shown
  #began_ms = 0;  // when what runs was begun
  #settings = $("settings");
  #opener = $("open-settings");

  /** @param {{press: (act: string) => void, change: Change}} page */
  constructor({ press, change }) {
    this.#press = press;
    this.#change = change;
    document.addEventListener("click", (event) => this.#clicked(event));
    for (const select of all(this.#settings, "[data-control]", HTMLSelectElement)) {
      select.addEventListener("change", () => this.#changed(select));
    }
    const near = $select("control-near"); // no setting: it goes with the tones that are heard
    near.addEventListener("change", () => this.#change("near", near.value));
    const slider = $input("trimmer"); // the screw is turned on the canvas by hand; this is the keyboard's way
    slider.addEventListener("input", () => this.#change("trim", slider.value));
    $("close-settings").addEventListener("click", () => this.#open_settings(false));
    $("open-tape").addEventListener("click", () => this.#open_settings(true, $("control-tone")));
    this.#settings.addEventListener("click", (event) => {
      if (!hit(event, "[data-help]", HTMLElement)) return;
      this.#show_settings(false); // what was chosen is to be seen
      setTimeout(() => {
        if (history.state?.menu) history.back(); // it has no address that would take the menu's step
      });
    });
    this.#opener.addEventListener("click", () => this.#open_settings(!this.#settings.classList.contains("open")));
    document.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && this.#settings.classList.contains("open")) this.#open_settings(false);
    });
    // Back closes the menu.
    addEventListener("popstate", () => {
      if (!history.state?.menu) this.#show_settings(false);
    });
    if (history.state?.menu) history.replaceState(null, ""); // loaded anew, it is closed
  }

  // Once: what the song bench's buttons are called.
  /** @param {Words} words */
  tell({ acts }) {
    Object.assign(kActLabels, acts);
    for (const [act, name] of Object.entries(acts)) $(act).textContent = name;
  }

  /** @param {State} state */
  show(state) {
    for (const [act, usable] of Object.entries(state.usable)) {
      const button = find(act);
      if (button && !(act in kStages) && button.hidden === usable) button.hidden = !usable;
    }
    for (const button of all(this.#settings, "[data-act]", HTMLButtonElement)) {
      button.disabled = state.usable[button.dataset.act ?? ""] === false;
    }
    this.#show_places(state);
    this.#once("tape", state.tape, () => ($("tape-at-hand").textContent = state.tape));
    this.#keep_focus(state);
    const recording = state.song.recorded_s !== null;
    this.#once("stop", [state.phase, recording], () => {
      $("act-stop").textContent = recording ? tr("Discard") : (kStopLabels[state.phase] ?? tr("Stop"));
    });
    this.#once("view", state.view, () => $("act-flutter").setAttribute("aria-pressed", String(state.view === "flutter")));
    this.#once("trim", state.trim, () => {
      $("trim-field").hidden = state.trim === null;
      const slider = $input("trimmer");
      if (state.trim === null) return;
      if (slider !== document.activeElement) slider.value = String(state.trim);
      slider.ariaValueText = `${number_text(state.trim.toFixed(2))} %`;
    });
    for (const [name, control] of Object.entries(state.controls)) this.#show_control(name, control);
    const waits = waits_for(state);
    this.#once("messages", [state.messages, state.usable, waits?.act, waits?.text], () => this.#show_messages(state, waits));
    const bar = $("messages").querySelector("progress");
    if (bar && waits) bar.value = waits.part;
    this.#once("status", state.status_line, () => ($("status-line").textContent = state.status_line));
    this.#once("processing", state.processing, () => ($("processing").textContent = state.processing));
  }

  // Pressed early: it will be done, and until then the page says so.
  say_loading() {
    $("messages").replaceChildren(this.#message("fact", tr("The measuring program is still loading. It starts by itself.")));
  }
  // The program could not be loaded: nothing will ever answer, so the page says so itself.
  say_broken() {
    $("messages").replaceChildren(this.#message("fault",
      tr("The measuring program could not be loaded. Check the network, then load the page again."),
      element("button", { type: "button", textContent: tr("Load again"), onclick: () => location.reload() })));
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = hit(event, "button", HTMLButtonElement);
    const act = button?.dataset.act ?? (button?.id.startsWith("act-") ? button.id : undefined);
    if (!button || !act || button.disabled) return;
    // The second half of a double tap ends nothing that the first has begun.
    if (button.id in kStages && act === "act-measure" && performance.now() - this.#began_ms < kDoubleTapMs) return;
    this.#open_settings(false);
    this.#press(act);
  }
  /** @param {HTMLSelectElement} select */
  #changed(select) {
    const control = /** @type {ControlName} */ (select.dataset.control);
    const chosen = select.value;
    if (chosen === "own") select.value = this.#values[control]; // until the dialog has an answer
    this.#change(control, chosen);
  }
  // With a step of the history, so that Back closes it.
  /** @param {boolean} open @param {HTMLElement} at */
  #open_settings(open, at = $("close-settings")) {
    const leads_back = history.state?.menu === true;
    if (open && !leads_back) history.pushState({ menu: true, base: history.state?.base }, "");
    this.#show_settings(open, at);
    if (!open && leads_back) history.back();
  }
  /** @param {boolean} open @param {HTMLElement} at */
  #show_settings(open, at = $("close-settings")) {
    if (this.#settings.classList.contains("open") !== open) {
      this.#settings.classList.toggle("open", open);
      this.#opener.setAttribute("aria-expanded", String(open));
    }
    if (open) at.focus();
    else if (this.#settings.contains(document.activeElement)) this.#opener.focus();
  }

  // What was pressed may be gone: the keyboard goes on where the next step is.
  /** @param {State} state */
  #keep_focus({ phase, song }) {
    this.#once("focus", [phase, song.bench], () => {
      if (this.#rested) $("app").scrollTop = 0; // large text: from the welcome to the figure
      this.#rested = phase === "idle";
      const first = !this.#started;
      this.#started = true;
      if (first || document.querySelector("dialog:modal")) return;
      const at = document.activeElement;
      if (at !== document.body && at?.checkVisibility()) return;
      all($("acts"), ".first button:not([hidden])", HTMLElement)[0]?.focus({ preventScroll: true });
    });
  }

  // As found and As left never move: what cannot be pressed is dim; what runs shows its seconds and ends there.
  /** @param {State} state */
  #show_places({ usable, measure }) {
    for (const [id, { stage, name }] of Object.entries(kStages)) {
      const runs = measure.kept_as === stage && measure.left_s !== null;
      this.#once(id, [runs, measure.left_s, usable[id]], () => {
        const button = $button(id);
        if (runs && !button.hasAttribute("data-runs")) this.#began_ms = performance.now();
        button.disabled = !runs && !usable[id];
        button.dataset.act = runs ? "act-measure" : id;
        button.toggleAttribute("data-runs", runs);
        button.textContent = runs ? tr("Cancel, {0} s", measure.left_s ?? 0) : name;
      });
    }
  }

  /** @param {string} name @param {Control} control */
  #show_control(name, { value, options }) {
    this.#once(name, [value, options], () => {
      const select = $select(`control-${name}`);
      select.replaceChildren(...options.map(([option, label]) => element("option", { value: option, textContent: label })));
      select.value = value;
      this.#values[name] = value;
      if (name === "near") $("near-field").hidden = options.length === 0;
      if (name === "tolerance") {
        $("tolerance-source").textContent = select.selectedOptions[0]?.textContent ?? "";
      }
    });
  }

  /** @param {State} state @param {Waits | undefined} waits */
  #show_messages({ messages, usable }, waits) {
    const all = messages.map(({ weight, text, act }) => {
      const button = act ? [element("button", { type: "button", textContent: kActLabels[act] ?? tr("Go on") })] : [];
      for (const made of button) {
        made.dataset.act = act;
        made.disabled = usable[act] === false;
      }
      return this.#message(weight, text, ...button);
    });
    if (waits) {
      const cancel = element("button", { type: "button", textContent: waits.label });
      cancel.dataset.act = waits.act;
      all.unshift(this.#message("fact", waits.text, element("progress", { max: 1, value: waits.part, ariaLabel: tr("Progress") }), cancel));
    }
    $("messages").replaceChildren(...all);
  }
  /** @param {Weight} weight @param {string} text @param {Node[]} rest */
  #message(weight, text, ...rest) {
    const message = element("div", { className: "message" }, element("p", { textContent: text }), ...rest);
    message.dataset.weight = weight;
    message.setAttribute("role", weight === "fault" ? "alert" : "status");
    return message;
  }
}
