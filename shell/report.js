// Report: one page about a machine, to be printed or saved as PDF by the browser. Its words and pictures come from the
// records; here it is laid out, and for printing put alone onto the paper.
/** @import {CardBook} from "./card_book.js" */
/** @import {ReportReading, Row} from "./types" */
import { $, $dialog, $input, element, when_opened } from "./dom.js";
import { held } from "./held.js";
import { keep, kept } from "./settings_store.js";

const rows_of = (/** @type {Row[]} */ rows) => element("dl", {}, ...rows.flatMap(([label, text]) => [element("dt", { textContent: label }), element("dd", { textContent: held(text) })]));

// Pictures are our own SVG; read as such, they cannot be anything else.
/** @param {string} svg */
function picture(svg) {
  if (!svg) return [];
  const root = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return root.nodeName === "svg" ? [document.importNode(root, true)] : [];
}

export class ReportDialog {
  #book;
  #dialog = $dialog("report");
  #sheet = $("report-sheet");
  #paper = $("paper");
  #name = $input("report-name");
  #card_id = "";

  /** @param {CardBook} book @param {{shown_card: () => string}} page */
  constructor(book, { shown_card }) {
    this.#book = book;
    this.#name.value = kept("report-name") ?? "";
    this.#name.addEventListener("input", () => {
      keep("report-name", this.#name.value.trim());
      this.#render();
    });
    $("report-print").addEventListener("click", () => print());
    // The browser's own menu prints the same.
    addEventListener("beforeprint", () => this.#paper.replaceChildren(...(this.#dialog.open ? [this.#sheet.cloneNode(true)] : [])));
    addEventListener("afterprint", () => this.#paper.replaceChildren());
    const prints = (/** @type {string} */ what) => (document.documentElement.dataset.prints = what);
    when_opened(this.#dialog, () => {
      prints("report");
      this.#card_id = shown_card();
      this.#render();
    }, () => prints(""));
  }

  #render() {
    const told = this.#book.report(this.#card_id, this.#name.value.trim());
    if (told.fault) {
      this.#sheet.replaceChildren(element("p", { textContent: told.fault }));
      return;
    }
    this.#sheet.replaceChildren(
      element("h2", { textContent: told.title }),
      element("p", { className: "summary", textContent: held(told.summary) }),
      rows_of(told.machine),
      element("div", { className: "readings" }, ...told.readings.map((reading) => this.#reading(reading))),
      rows_of(told.conditions),
      element("p", { className: "caution", textContent: told.caution }),
    );
  }
  /** @param {ReportReading} reading */
  #reading({ heading, verdict, rows, ribbon_svg, spectrum_svg }) {
    return element("section", {}, element("h3", { textContent: held(heading) }), element("p", { className: "verdict-line", textContent: held(verdict) }),
      rows_of(rows), element("div", { className: "pictures" }, ...picture(ribbon_svg), ...picture(spectrum_svg)));
  }
}
