// What the page of any tapes shows of what its program tells. All words of it come from there.
/** @import {AnyTapes, AnyTape, TapeFigure} from "./types" */
import { $, $select, all, element, list_button, once_each, set_text } from "./dom.js";
import { held } from "./held.js";
import { tr } from "./words.js";

export class TapesShow {
  #once = once_each();
  #drop;

  /** @param {(index: number) => void} drop */
  constructor(drop) {
    this.#drop = drop;
  }

  /** @param {AnyTapes} told */
  show(told) {
    this.#once("figures", [told.figures, told.status], () => this.#show_figures(told));
    this.#once("reasons", told.reasons, () => {
      $("reasons").replaceChildren(...told.reasons.map(({ name, what, todo }) => {
        const item = element("li", {}, element("strong", { textContent: what }), todo);
        item.dataset.reason = name;
        return item;
      }));
    });
    set_text($("basis"), held(told.basis));
    set_text($("to-go"), held(told.to_go));
    $("sounds").hidden = told.status !== "ambiguous" && told.sounds_like === 0;
    for (const button of all($("sounds"), "[data-sounds]", HTMLElement)) {
      button.ariaPressed = String(Number(button.dataset.sounds) === told.sounds_like);
    }
    $("movement").hidden = told.lately === "" && told.wow === "";
    $("lately-part").hidden = told.lately === "";
    set_text($("lately"), held(told.lately));
    $("lately").dataset.value = String(told.lately_percent ?? "");
    $("wow-line").hidden = told.wow === "";
    set_text($("wow"), held(told.wow));
    $select("tuning").value = String(told.concert_a_hz ?? 0);
    this.#once("tapes", told.tapes, () => {
      $("tapes").replaceChildren(...told.tapes.map((tape, index) => this.#row(tape, index)));
      $("none-kept").hidden = told.tapes.length > 0;
    });
  }

  // Empty where there is nothing to draw.
  /** @param {string} svg */
  show_picture(svg) {
    this.#once("picture", svg, () => {
      $("likely").hidden = svg === "";
      if (svg === "") return;
      const drawn = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
      drawn.setAttribute("role", "img");
      drawn.setAttribute("aria-labelledby", "likely-title");
      $("picture").replaceChildren(document.importNode(drawn, true));
    });
  }

  /** @param {AnyTapes} told */
  #show_figures({ figures, status }) {
    const place = $("figures");
    place.dataset.status = status;
    const alone = figures.length === 1;
    if (figures.length === 0) place.replaceChildren(element("p", { className: "figure alone missing", textContent: "—", ariaHidden: "true" }));
    else place.replaceChildren(...figures.flatMap((figure, i) => [
      ...(i > 0 ? [element("span", { className: "or", textContent: tr("or") })] : []),
      this.#figure(figure, alone),
    ]));
  }
  /** @param {TapeFigure} figure @param {boolean} alone */
  #figure({ number, plus_minus, percent, u95_percent }, alone) {
    const made = element("p", { className: alone ? "figure alone" : "figure" }, number,
      element("span", { textContent: held(`${plus_minus} %`) }));
    made.dataset.value = String(percent);
    made.dataset.u95 = String(u95_percent);
    return made;
  }
  /** @param {AnyTape} tape @param {number} index */
  #row({ name, says, apart }, index) {
    const row = element("li", {}, element("span", { className: "name", textContent: name },
      ...(apart ? [element("span", { className: "stands-apart", textContent: tr("says something else") })] : [])),
    element("span", { className: "says", textContent: held(says) }),
    list_button(tr("Remove"), tr("Remove {0}", name), () => this.#drop(index)));
    row.dataset.apart = String(apart);
    return row;
  }
}
