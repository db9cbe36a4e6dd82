// Causes: the panel that says what wow and flutter come from and what to do, and the form in which the machine's parts
// are entered. All words but the labels are the program's.
function element(tag, properties = {}, ...children) {
  const made = Object.assign(document.createElement(tag), properties);
  made.append(...children);
  return made;
}

// A number is not parted from its unit.
const held = (text) => text.replaceAll(/(\d) (%|Hz|mm)/g, "$1\u00a0$2");
const items = (texts) => texts.map((text) => element("li", { textContent: held(text) }));

// The side's place is entered in percent, and kept as a share.
const kPercent = new Set(["side_played"]);

export class CausesPanel {
  #form = document.getElementById("parts-form");
  #fault = document.getElementById("parts-fault");
  #change;
  #shown = "";
  #known;

  constructor({ change }) {
    this.#change = change;
    this.#form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#change("parts", this.#entered());
    });
    document.getElementById("parts-clear").addEventListener("click", () => {
      for (const field of this.#fields()) field.value = "";
      this.#change("parts", "");
    });
  }

  show(told) {
    const json = JSON.stringify(told);
    if (json === this.#shown) return;
    this.#shown = json;
    const { verdicts, causes, nothing, work, standards, rates, parts, parts_fault } = told;
    document.getElementById("causes-verdicts").replaceChildren(...verdicts.map(({ text, rests_on, warns }) =>
      element("p", { className: warns ? "verdict warns" : "verdict" }, element("strong", { textContent: held(text) }), ` ${held(rests_on)}`)));
    document.getElementById("causes-list").replaceChildren(...causes.map(({ cause, title, evidence, fault }) => {
      const item = element("li", {}, element("strong", { textContent: held(title) }), ` ${held(evidence)}`);
      item.dataset.cause = cause;
      item.dataset.fault = String(fault);
      return item;
    }));
    document.getElementById("causes-nothing").textContent = nothing;
    this.#part("causes-work", work);
    this.#part("causes-standards", standards);
    this.#part("causes-rates", rates);
    if (this.#fault.textContent !== parts_fault) this.#fault.textContent = parts_fault;
    if (parts !== this.#known) this.#fill(parts);
  }

  #part(id, texts) {
    document.getElementById(id).replaceChildren(...items(texts));
    document.getElementById(`${id}-part`).hidden = texts.length === 0;
  }

  #fields() {
    return this.#form.querySelectorAll("[data-part]");
  }
  #fill(parts) {
    this.#known = parts;
    const values = new Map(parts.split(";").filter(Boolean).map((pair) => pair.split("=")));
    for (const field of this.#fields()) {
      const value = values.get(field.dataset.part) ?? "";
      field.value = value !== "" && kPercent.has(field.dataset.part) ? String(Number((100 * Number(value)).toFixed(6))) : value;
    }
  }
  #entered() {
    const pairs = [];
    for (const field of this.#fields()) {
      const typed = field.value.trim().replace(",", ".");
      if (typed === "") continue;
      const value = kPercent.has(field.dataset.part) && Number.isFinite(Number(typed)) ? String(Number(typed) / 100) : typed;
      pairs.push(`${field.dataset.part}=${value}`);
    }
    return pairs.join(";");
  }
}
