// Table: several tapes on several machines: which of them is off? It is solved by the bench (web/doors/bench).
import { $, element, list_button, when_opened } from "./dom.js";
import { held } from "./held.js";
import { figures_of, number_of } from "./numbers.js";
import { keep, kept } from "./settings_store.js";
import { number_text, tr } from "./words.js";

const kMost_percent = 100; // as core/bench/tape_or_machine

const pair = ({ tape, machine }) => tr("{0} on {1}", tape, machine);

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
    $("table-form").addEventListener("submit", () => this.#add());
    $("table-trust").addEventListener("click", () => this.#trust());
    when_opened($("table"), () => this.#render());
  }

  #number(id) {
    return number_of($(id).value);
  }
  #add() {
    const row = { tape: $("table-tape").value.trim(), machine: $("table-machine").value.trim(), percent: this.#number("table-percent"), u95: this.#number("table-u95") };
    if (!row.tape || !row.machine) return this.#said(tr("Name the tape and the machine."));
    if (!(Math.abs(row.percent) <= kMost_percent) || !(row.u95 > 0)) return this.#said(tr("Type percent as plain numbers, such as 1.05; the \u00b1 must be above 0."));
    this.#rows = [...this.#rows.filter(({ tape, machine }) => tape !== row.tape || machine !== row.machine), row];
    $("table-percent").value = "";
    this.#changed();
  }
  #trust() {
    const [of, name] = $("table-which").value.split("\n");
    const percent = $("table-true").value.trim() === "" ? 0 : this.#number("table-true"), u95 = this.#number("table-true-u95");
    if (!name || !(Math.abs(percent) <= kMost_percent) || !(u95 > 0)) return this.#said(tr("Choose what is known to be right, and to how many percent."));
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
    const remove = (text, list, i) => list_button(tr("Remove"), tr("Remove {0}", text), () => {
      list.splice(i, 1);
      this.#changed();
    });
    const trusted = this.#trusted.filter(({ of, name }) => (of === "tape" ? tapes : machines).includes(name));
    $("table-rows").replaceChildren(...this.#rows.map((row, i) => element("li", {},
      held(`${pair(row)}: ${number_text(row.percent)} \u00b1 ${number_text(row.u95)} %`), remove(pair(row), this.#rows, i))));
    $("table-trusted").replaceChildren(...this.#trusted.map((each, i) => element("li", {},
      held(tr("{0} is known: {1} %", each.name, `${number_text(each.percent)} \u00b1 ${number_text(each.u95)}`)), remove(each.name, this.#trusted, i))));
    $("table-which").replaceChildren(...tapes.map((name) => new Option(tr("tape {0}", name), `tape\n${name}`)), ...machines.map((name) => new Option(tr("machine {0}", name), `machine\n${name}`)));
    $("table-known").hidden = this.#rows.length === 0;
    $("table-result").replaceChildren();
    if (this.#rows.length === 0) return;
    const readings = this.#rows.map((row) => [tapes.indexOf(row.tape), machines.indexOf(row.machine), figures_of(row.percent), figures_of(row.u95)].join(";"));
    const truths = trusted.map(({ of, name, percent, u95 }) => [of, (of === "tape" ? tapes : machines).indexOf(name), figures_of(percent), figures_of(u95)].join(";"));
    const told = JSON.parse(this.#ask("bench-table", readings.join("\n"), truths.join("\n")));
    if (told.fault) return this.#said(told.fault);
    const rows = (names, values, what) => names.map((name, i) => element("tr", {}, element("th", { textContent: what(name), scope: "row" }), element("td", { className: "amount", textContent: held(values[i]) })));
    const left_out = told.left_out.map((i) => pair(this.#rows[i]));
    $("table-result").replaceChildren(
      element("table", {}, element("tbody", {}, ...rows(machines, told.machines, (name) => tr("Machine {0}", name)), ...rows(tapes, told.tapes, (name) => tr("Tape {0}", name)))),
      ...told.said.map((text) => element("p", { textContent: text })),
      ...(left_out.length > 0 ? [element("p", { textContent: tr("Left out: {0}.", left_out.join(", ")) })] : []));
  }
  #said(text) {
    $("table-said").textContent = text;
  }
}
