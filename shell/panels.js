// Panels: what is read at length and follows the reading: what to do, and the error budget. All words are the program's.
/** @import {Advice, Budget, BudgetLine, ChannelReading, State, Words} from "./types" */
import { dated } from "./dates.js";
import { $, element, once_each } from "./dom.js";
import { tr } from "./words.js";

export class Panels {
  #once = once_each();

  // Once: every reason, and every platform's steps.
  /** @param {Words} words */
  tell({ reasons, platforms }) {
    $("trouble-reasons").replaceChildren(...reasons.flatMap(({ reason, what, todo }) => {
      const term = element("dt", { textContent: what });
      term.dataset.reason = reason;
      return [term, element("dd", { textContent: todo })];
    }));
    const known = platforms.some(({ here }) => here);
    $("trouble-platforms").replaceChildren(...platforms.map(({ name, steps, here }) => {
      const made = element("details", { open: here || !known },
        element("summary", { textContent: here ? tr("{0}: this device", name) : name }), element("p", { textContent: steps }));
      made.dataset.here = String(here);
      return made;
    }));
  }

  /** @param {State} state */
  show({ advice, doubt, budget, reading }) {
    this.#once("advice", [advice, reading.status], () => {
      $("trouble-now").replaceChildren(...this.#present(advice, reading));
    });
    this.#once("doubt", doubt, () => ($("trouble-doubt").textContent = doubt));
    this.#show_budget(budget);
  }

  /** @param {Advice[]} advice @param {ChannelReading} reading */
  #present(advice, { status }) {
    if (advice.length === 0) {
      return [element("p", { textContent: status === "measured" ? tr("Nothing disturbs the reading at the moment.") : tr("Nothing is being measured at the moment.") })];
    }
    return [element("ol", {}, ...advice.map(({ reason, what, todo }) => {
      const item = element("li", {}, element("strong", { textContent: what }), ` ${todo}`);
      item.dataset.reason = reason;
      return item;
    }))];
  }

  /** @param {Budget} budget */
  #show_budget(budget) {
    this.#once("budget", budget, () => {
      $("budget-of").textContent = budget.of;
      $("budget-terms").replaceChildren(...budget.terms.map((line) => this.#row(line)));
      $("budget-sum").replaceChildren(this.#row(budget.sum));
    });
  }
  /** @param {BudgetLine} line */
  #row({ name, amount, note }) {
    return element("tr", {}, element("th", { textContent: name, scope: "row" }),
      element("td", { className: "amount", textContent: amount }), element("td", { textContent: dated(note) }));
  }
}
