// Table: several tapes on several machines: which of them is off? It is solved by the bench (web/doors/bench).
/** @import {Ask, TableTold} from "./types" */
import { $, $dialog, $form, $input, $select, element, list_button, when_opened } from "./dom.js";
import { held } from "./held.js";
import { figures_of, number_of } from "./numbers.js";
import { keep, kept } from "./settings_store.js";
import { number_text, tr } from "./words.js";

const kMost_percent = 100; // as core/bench/tape_or_machine

/** @typedef {{tape: string, machine: string, percent: number, u95: number}} Reading */
/** @typedef {{of: string, name: string, percent: number, u95: number}} Truth */

/** @param {Reading} reading */
const pair = ({ tape, machine }) => tr("{0} on {1}", tape, machine);

export class TableDialog {
  #ask;
  /** @type {Reading[]} */
  #rows = [];
  /** @type {Truth[]} */
  #trusted = [];

  /** @param {{ask: Ask}} page */
  constructor({ ask }) {
    this.#ask = ask;
    try {
      const { rows = [], trusted = [] } = JSON.parse(kept("table") ?? "{}");
      [this.#rows, this.#trusted] = [rows, trusted];
    } catch {
      // what cannot be read is as good as none
    }
    $form("table-form").addEventListener("submit", () => this.#add());
    $("table-trust").addEventListener("click", () => this.#trust());
    when_opened($dialog("table"), () => this.#render());
  }

  /** @param {string} id */
  #number(id) {
    return number_of($input(id).value) ?? NaN; // which no bound holds
  }
  #add() {
    const tape_name = $input("table-tape").value.trim(), machine_name = $input("table-machine").value.trim();
    const percent = this.#number("table-percent"), u95 = this.#number("table-u95");
    const row = { tape: tape_name, machine: machine_name, percent, u95 };
    if (!row.tape || !row.machine) {
      this.#said(tr("Name the tape and the machine."));
      return;
    }
    if (!(Math.abs(row.percent) <= kMost_percent) || !(row.u95 > 0)) {
      this.#said(tr("Type percent as plain numbers, such as 1.05; the \u00b1 must be above 0."));
      return;
    }
    this.#rows = [...this.#rows.filter(({ tape, machine }) => tape !== row.tape || machine !== row.machine), row];
    $input("table-percent").value = "";
    this.#changed();
  }
  #trust() {
    const [of, name] = $select("table-which").value.split("\n");
    const percent = $input("table-true").value.trim() === "" ? 0 : this.#number("table-true");
    const u95 = this.#number("table-true-u95");
    if (!name || !(Math.abs(percent) <= kMost_percent) || !(u95 > 0)) {
      this.#said(tr("Choose what is known to be right, and to how many percent."));
      return;
    }
    this.#trusted = [...this.#trusted.filter((each) => each.of !== of || each.name !== name), { of, name, percent, u95 }];
    this.#changed();
  }
  #changed() {
    keep("table", JSON.stringify({ rows: this.#rows, trusted: this.#trusted }));
    this.#said("");
    this.#render();
  }

  /** @param {"tape" | "machine"} what */
  #names(what) {
    return [...new Set(this.#rows.map((row) => row[what]))];
  }
  #render() {
    const tapes = this.#names("tape"), machines = this.#names("machine");
    /** @type {(text: string, list: unknown[], i: number) => HTMLButtonElement} */
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
    /** @type {TableTold} */
    const told = JSON.parse(this.#ask("bench-table", readings.join("\n"), truths.join("\n")));
    if (told.fault) {
      this.#said(told.fault);
      return;
    }
    /** @type {(names: string[], values: string[], what: (name: string) => string) => HTMLElement[]} */
    const rows = (names, values, what) => names.map((name, i) => element("tr", {}, element("th", { textContent: what(name), scope: "row" }), element("td", { className: "amount", textContent: held(values[i]) })));
    const left_out = told.left_out.map((i) => pair(this.#rows[i]));
    $("table-result").replaceChildren(
      element("table", {}, element("tbody", {}, ...rows(machines, told.machines, (name) => tr("Machine {0}", name)), ...rows(tapes, told.tapes, (name) => tr("Tape {0}", name)))),
      ...told.said.map((text) => element("p", { textContent: text })),
      ...(left_out.length > 0 ? [element("p", { textContent: tr("Left out: {0}.", left_out.join(", ")) })] : []));
  }
  /** @param {string} text */
  #said(text) {
    $("table-said").textContent = text;
  }
}
