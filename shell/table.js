// Table: several tapes on several machines: which of them is off? It is solved by the bench (web/bench_door).
import { figures_of, number_of } from "./dialogs.js";
import { held } from "./held.js";
import { keep, kept } from "./settings_store.js";

const $ = (id) => document.getElementById(id);
function element(tag, properties = {}, ...children) {
  const made = Object.assign(document.createElement(tag), properties);
  made.append(...children);
  return made;
}

export class TableDialog {
  #ask;
  #rows = [];      // {tape, machine, percent, u95}
  #trusted = [];   // {of, name, percent, u95}

  constructor({ ask }) {
    this.#ask = ask;
    try {
      const { rows = [], trusted = [] } = JSON.parse(kept("table") ?? "{}");
      [this.#rows, this.#trusted] = [rows, trusted];
    } catch {
      // what cannot be read is as good as none
    }
    $("table-form").addEventListener("submit", (event) => {
      event.preventDefault(); // the page sends no forms
      this.#add();
    });
    $("table-trust").addEventListener("click", () => this.#trust());
    new MutationObserver(() => $("table").open && this.#render()).observe($("table"), { attributeFilter: ["open"] });
  }

  #number(id) {
    return number_of($(id).value);
  }
  #add() {
    const row = { tape: $("table-tape").value.trim(), machine: $("table-machine").value.trim(), percent: this.#number("table-percent"), u95: this.#number("table-u95") };
    if (!row.tape || !row.machine) return this.#said("Name the tape and the machine.");
    if (row.percent === undefined || !(row.u95 > 0)) return this.#said("Type percent as plain numbers, such as 1.05; the \u00b1 is above 0.");
    this.#rows = [...this.#rows.filter(({ tape, machine }) => tape !== row.tape || machine !== row.machine), row];
    $("table-percent").value = "";
    this.#changed();
  }
  #trust() {
    const [of, name] = $("table-which").value.split("\n");
    const percent = this.#number("table-true") ?? 0, u95 = this.#number("table-true-u95");
    if (!name || !(u95 > 0)) return this.#said("Choose what is known to be right, and to how many percent.");
    this.#trusted = [...this.#trusted.filter((each) => each.of !== of || each.name !== name), { of, name, percent, u95 }];
    this.#changed();
  }
  #changed() {
    keep("table", JSON.stringify({ rows: this.#rows, trusted: this.#trusted }));
    this.#said("");
    this.#render();
  }

  #names(what) {
    return [...new Set(this.#rows.map((row) => row[what]))];
  }
  #render() {
    const tapes = this.#names("tape"), machines = this.#names("machine");
    const remove = (text, list, i) => {
      const button = element("button", { type: "button", textContent: "Remove", ariaLabel: `Remove ${text}` });
      button.addEventListener("click", () => {
        list.splice(i, 1);
        this.#changed();
      });
      return button;
    };
    const trusted = this.#trusted.filter(({ of, name }) => (of === "tape" ? tapes : machines).includes(name));
    $("table-rows").replaceChildren(...this.#rows.map((row, i) => element("li", {},
      held(`${row.tape} on ${row.machine}: ${row.percent} \u00b1 ${row.u95} %`), remove(`${row.tape} on ${row.machine}`, this.#rows, i))));
    $("table-trusted").replaceChildren(...this.#trusted.map((each, i) => element("li", {},
      held(`${each.name} is known: ${each.percent} \u00b1 ${each.u95} %`), remove(each.name, this.#trusted, i))));
    $("table-which").replaceChildren(...tapes.map((name) => new Option(`tape ${name}`, `tape\n${name}`)), ...machines.map((name) => new Option(`machine ${name}`, `machine\n${name}`)));
    $("table-known").hidden = this.#rows.length === 0;
    if (this.#rows.length === 0) {
      $("table-result").replaceChildren();
      return;
    }
    const readings = this.#rows.map((row) => [tapes.indexOf(row.tape), machines.indexOf(row.machine), figures_of(row.percent), figures_of(row.u95)].join(";"));
    const truths = trusted.map(({ of, name, percent, u95 }) => [of, (of === "tape" ? tapes : machines).indexOf(name), figures_of(percent), figures_of(u95)].join(";"));
    const told = JSON.parse(this.#ask("bench-table", readings.join("\n"), truths.join("\n")));
    if (told.fault) return this.#said(told.fault);
    const rows = (names, values, what) => names.map((name, i) => element("tr", {}, element("th", { textContent: `${what} ${name}`, scope: "row" }), element("td", { className: "amount", textContent: held(values[i]) })));
    const left_out = told.left_out.map((i) => `${this.#rows[i].tape} on ${this.#rows[i].machine}`);
    $("table-result").replaceChildren(
      element("table", {}, element("tbody", {}, ...rows(machines, told.machines, "Machine"), ...rows(tapes, told.tapes, "Tape"))),
      ...told.said.map((text) => element("p", { textContent: text })),
      ...(left_out.length > 0 ? [element("p", { textContent: `Left out: ${left_out.join(", ")}.` })] : []));
  }
  #said(text) {
    $("table-said").textContent = text;
  }
}
