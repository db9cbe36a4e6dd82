// Exports: what leaves the page is read back by parties that know nothing of it: a decoder of QR codes, a parser of CSV, one
// of XML, each from a package of others.
import { readFileSync } from "node:fs";
import { parse as parse_csv } from "csv-parse/sync";
import jsqr from "jsqr";
import { SaxesParser } from "saxes";
import { check, near, same } from "../check.mjs";
import { read_png } from "../png.mjs";
import { downloaded, stored } from "../stored.mjs";

// What a camera sees of an element, as the decoder takes it: red, green, blue, alpha.
async function picture_of(page, id) {
  const image = read_png(await page.page.locator(`#${id}`).screenshot());
  const data = new Uint8ClampedArray(4 * image.width * image.height);
  for (let at = 0; at < image.width * image.height; ++at) {
    const colour = image.pixel(at % image.width, Math.floor(at / image.width));
    data.set([colour >> 16, (colour >> 8) & 255, colour & 255, 255], 4 * at);
  }
  return { data, width: image.width, height: image.height };
}

// In both looks, short and as long as a link may be, on a phone and on a desktop.
async function code_is_read_back(house) {
  const notes = ["", "Side A <b>first</b> & \u00fc \u6a5f?", "x".repeat(150)];
  for (const [look, width] of [["dark", 1280], ["light", 360]]) {
    const page = await house.open_ready({ scale: 2, look, width });
    await page.open_panel("friend");
    for (const note of notes) {
      await page.page.locator("#friend-note").fill(note);
      await page.page.waitForFunction((wanted) => document.getElementById("friend-link").value.includes("note=") === wanted, note !== "", { polling: 50 });
      const link = await page.page.locator("#friend-link").inputValue();
      const { data, width: across, height } = await picture_of(page, "friend-code");
      same(jsqr(data, across, height)?.data, link, `the code of a note of ${note.length} characters, ${look}`);
    }
  }
}

const kNasty = [
  "plain", 'a "quoted" one', "comma, semicolon; tab\tend", "two\nlines", "two\r\nDOS lines", "=1+1", "+49 123", "-5", "@SUM(A1)", "\t=1",
  "'already quoted", ' "', "\u6a5f\u68b0 \u00e9\u{1F4FC}", "<b>&amp;", "a,b\n\"c\"\n,", "",
];
const visit_of = (i, percent) => ({
  id: `v${i}`, time: "2026-11-26 10:45", stage: "as_left", place: "middle", source: "tone", seconds: 30, nominal_hz: 3000, tolerance_percent: 0.5, tape: kNasty.at(-i - 1), note: kNasty[i],
  channels: [{ channel: "left", status: "measured", frequency_hz: 3000 * (1 + percent / 100), speed_error_percent: percent, u95_percent: 0.01, weighted_two_sigma_percent: 0.11 }],
  course: { step_s: 0.5, percent: [percent, null, percent / 2, percent] }, spectrum: { first_hz: 0, bin_hz: 40, dbfs: Array.from({ length: 200 }, (_, at) => (at === 75 ? -12 : -80 - (at % 7))) },
});
const percent_of = (i) => 0.125 * i - 1;

// A spreadsheet takes what begins with = + - @ for a formula: those alone have a ' in front, all else is as it was typed.
async function table_is_read_back(house) {
  const page = await house.open_ready({ locale: "de-DE" }); // whose numbers have commas, but not in a table
  await page.open_panel("cards");
  const cards = kNasty.map((name, i) => ({ id: `c${i}`, name, visits: [visit_of(i, percent_of(i))] }));
  await page.page.locator("#cards-input").setInputFiles(house.file("cards.json", Buffer.from(JSON.stringify({ schema: "four76.cards/1", cards }))));
  await stored(page, "every card", ({ cards: there }) => there.length === cards.length);
  await page.page.waitForFunction(() => !document.getElementById("cards-csv").hidden, undefined, { polling: 50 }); // the page has read them back
  const { path } = await downloaded(page, () => page.page.evaluate(() => document.getElementById("cards-csv").click()));
  const rows = parse_csv(readFileSync(path), { columns: true });
  same(rows.length, kNasty.length, "rows");
  const safe = (text) => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);
  for (const row of rows) {
    const i = Math.round((Number(row.speed_error_percent) + 1) / 0.125);
    for (const [column, text] of [["machine", kNasty[i]], ["note", kNasty[i]], ["tape", kNasty.at(-i - 1)]]) same(row[column], safe(text), `${column} of row ${i}`);
    near(Number(row.speed_error_percent), percent_of(i), 1e-9, `the speed of row ${i}`);
    near(Number(row.frequency_hz), 3000 * (1 + percent_of(i) / 100), 1e-6, `the frequency of row ${i}`);
    same([row.stage, row.status, row.verdict, row.unweighted_two_sigma_percent], ["as_left", "measured", Math.abs(percent_of(i)) <= 0.49 ? "within" : Math.abs(percent_of(i)) >= 0.51 ? "outside" : "cannot_be_told", ""], `the words of row ${i}`);
  }
  same(new Set(rows.map(({ note }) => note)).size, kNasty.length, "rows that differ");
}

// Strict: what is not well-formed, or has a prefix without a namespace, throws.
function xml_of(text) {
  const elements = [];
  const parser = new SaxesParser({ xmlns: true });
  parser.on("opentag", ({ local, uri, attributes }) => elements.push({ local, uri, attributes }));
  parser.on("error", (error) => {
    throw error;
  });
  parser.write(text).close();
  return elements;
}

async function pictures_are_read_back(house) {
  const page = await house.open_ready({
    before: (context) => context.addInitScript(() => {
      const parse = DOMParser.prototype.parseFromString;
      globalThis.svgs = [];
      DOMParser.prototype.parseFromString = function (text, kind) {
        if (kind === "image/svg+xml") globalThis.svgs.push(text);
        return parse.call(this, text, kind);
      };
    }),
  });
  await page.open_panel("cards");
  const card = { id: "c", name: "<svg> & \"co\" ]]>", visits: [0, 1].map((i) => ({ ...visit_of(i, percent_of(6 + i)), stage: i ? "as_left" : "as_found" })) };
  await page.page.locator("#cards-input").setInputFiles(house.file("cards.json", Buffer.from(JSON.stringify({ schema: "four76.cards/1", cards: [card] }))));
  await page.until_text("cards-said", /^3 new/);
  await page.page.locator("#cards-report").click();
  await page.until_text("report-sheet", /From/);
  const texts = await page.page.evaluate(() => globalThis.svgs);
  same(texts.length, 4, "pictures");
  for (const text of texts) {
    const elements = xml_of(text);
    same([elements[0].local, elements[0].uri], ["svg", "http://www.w3.org/2000/svg"], "the root");
    same(new Set(elements.map(({ uri }) => uri)).size, 1, "vocabularies");
    check(elements.length > 5, `a picture of ${elements.length} elements`);
  }
}

export const tests = [
  ["exports: a decoder reads the code of a link back to that link", code_is_read_back],
  ["exports: a parser of CSV reads the table back, whatever the names hold", table_is_read_back],
  ["exports: a strict parser of XML reads the report's pictures", pictures_are_read_back],
];
