// Cards: a machine as found and as left, kept, carried over to another device, reported and printed.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { check, near, none, number, same } from "../check.mjs";
import { tone } from "../sound.mjs";
import { downloaded, keep_a_visit, put_records, stored, stored_cards, stored_records, stored_visits } from "../stored.mjs";
import { kShots, looks_right } from "./sizes.mjs";

const text = (page, id) => page.page.evaluate((name) => document.getElementById(name).textContent.replaceAll("\u00a0", " "), id);
const visits = (page) => page.page.evaluate(() => [...document.querySelectorAll("#cards-visits details")].map((visit) => ({
  judged: visit.dataset.judged,
  line: visit.querySelector("summary").innerText.replaceAll("\u00a0", " "),
  rows: Object.fromEntries([...visit.querySelectorAll("dt")].map((label) => [label.textContent, label.nextElementSibling.textContent.replaceAll("\u00a0", " ")])),
})));
function visit_count(page, count) {
  return page.page.waitForFunction((wanted) => document.querySelectorAll("#cards-visits details").length === wanted, count, { polling: 50, timeout: 20_000 });
}
// A machine 1.2 % fast; after half a minute somebody sets it right.
async function whole_job(house) {
  const turn = { percent: -1.19, at_s: 22, over_s: 0.5 };
  const page = await house.open_ready({ sound: [tone({ hz: 3000.3, seconds: 120, wow: [[7.6, 0.05], [1.3, 0.06]], turn, carrier_to_noise_dbhz: 68 })] });
  await page.listen();
  await page.open_panel("measure");
  await page.page.locator("#measure-seconds").fill("6");
  await page.page.locator("#measure-seconds").blur();
  await page.until_text("act-measure", /Measure 6 s/);
  await page.page.locator("#measure-seconds").fill("4");
  await page.page.locator("#measure-seconds").blur();
  await page.page.waitForFunction(() => document.getElementById("measure-seconds").value === "6", undefined, { polling: 50 }); // refused
  await page.page.locator("#measure-end").selectOption("middle");
  await page.close_panel();
  await page.measured();
  await page.press("act-as-found");
  await page.until_text("act-as-found", /Cancel, \d s/);
  const found = await page.message(/As found: \+\d/);
  const percent = Number(/As found: \+([\d.]+)/.exec(found.messages.join())[1]);
  near(percent, 1.2, 0.05, "as found");
  await page.until("the screw to be turned", (told) => Math.abs(number(told.reading.speed_error_percent)) < 0.1 && told.reading.speed_error_percent !== "");
  await page.press("act-as-left");
  await page.message(/As left: [+\u2212]?0\.0/);
  house.note((await page.told()).messages.join(" | "));

  await page.reload();
  await page.open_panel("cards");
  await visit_count(page, 2);
  const [left, was] = await visits(page);
  check(/^✓ As left, .*, at the middle of the tape/.test(left.line), left.line);
  check(/1\.(19|2)\d* % fast/.test(was.line) && was.judged === "outside", was.line);
  check(/^0?\d seconds|6 seconds/.test(left.rows.Over), left.rows.Over);
  same(left.rows["Its clock"], "not checked: not in the uncertainty", "the clock");
  await page.page.locator("#cards-card summary", { hasText: "The machine" }).click();
  await page.page.locator("#card-name").fill("Tall <b>deck</b> & \"co\"");
  await page.page.locator("#card-kind").fill("deck");
  await page.page.locator("#card-kind").blur();
  await page.page.waitForFunction(() => document.getElementById("cards-choice").selectedOptions[0]?.textContent.startsWith("Tall <b>"), undefined, { polling: 50 });
  await page.page.locator("#cards-report").click();
  await page.until_text("report-sheet", /From 1\.(19|2)\d* % fast to/);
  check(/Tall <b>deck<\/b> & "co"/.test(await text(page, "report-sheet")), "the name as it was typed");
  same(await page.page.locator("#report-sheet svg").count(), 4, "ribbon and spectrum, twice");
  await page.page.locator("#report-name").fill("A. Maker");
  await page.until_text("report-sheet", /Made byA\. Maker/);
  // On paper: the sheet alone, one page, black on white.
  const pdf = await page.page.pdf({ format: "A4" });
  await page.page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  await page.page.emulateMedia({ media: "print" });
  if (house.pictures) await page.page.screenshot({ path: join(kShots, "report-printed.png"), fullPage: true });
  same((pdf.toString("latin1").match(/\/Type \/Page\b/g) ?? []).length, 1, "pages of the report");
}

async function carries_over(house) {
  const page = await house.open_ready();
  await keep_a_visit(house, page, 3012, "act-as-found");
  await keep_a_visit(house, page, 3001, "act-as-left");
  await page.press_in_messages("Cards");
  await visit_count(page, 2);
  await page.page.locator("#cards summary", { hasText: "carry over" }).click();
  const cards = await downloaded(page, () => page.page.locator("#cards-save").click());
  check(/^four76-cards-\d{4}-\d\d-\d\d\.json$/.test(cards.name), cards.name);
  const csv = await downloaded(page, () => page.page.locator("#cards-csv").click());
  const lines = readFileSync(csv.path, "utf8").trim().split("\n");
  same(lines.length, 3, "lines of the table");
  check(/,0\.4\d*/.test(lines[1]), lines[1]);
  // Removed, and taken back.
  await page.page.locator("#cards-visits details button", { hasText: "Remove this visit" }).first().click();
  await visit_count(page, 1);
  await page.page.locator("#cards-undo").click();
  await visit_count(page, 2);

  const fresh = await house.open_ready();
  await fresh.open_panel("cards");
  await fresh.page.locator("#cards summary", { hasText: "carry over" }).click();
  const take = (path) => fresh.page.locator("#cards-input").setInputFiles(path);
  await take(house.file("strange.json", Buffer.from('{"schema":"four76.cards/1","cards":[{"id":1')));
  await fresh.until_text("cards-said", /Nothing was changed/);
  await take(house.file("later.json", Buffer.from('{"schema":"four76.cards/7"}')));
  await fresh.until_text("cards-said", /later version/);
  await take(cards.path);
  await fresh.until_text("cards-said", /^3 new/);
  await visit_count(fresh, 2);
  await take(cards.path);
  await fresh.until_text("cards-said", /^0 new, 0 renewed, 3 known already/);
  await visit_count(fresh, 2);
  await fresh.reload();
  await fresh.open_panel("cards");
  await visit_count(fresh, 2);
}

// What is taken back stands where it stood: the course of a machine is told by the order of its visits.
async function takes_back_an_older_visit(house) {
  const page = await house.open_ready();
  await keep_a_visit(house, page, 3012, "act-as-found");
  await keep_a_visit(house, page, 3001, "act-as-left");
  await page.open_panel("cards");
  await visit_count(page, 2);
  const before = await visits(page);
  const since = await text(page, "cards-since");
  await page.page.locator("#cards-visits details").nth(1).locator("summary").click();
  await page.page.locator("#cards-visits details").nth(1).locator("button").click();
  await visit_count(page, 1);
  await page.page.evaluate(() => {
    for (let tap = 0; tap < 2; ++tap) document.getElementById("cards-undo").click();
  });
  await visit_count(page, 2);
  same((await visits(page)).map(({ line }) => line), before.map(({ line }) => line), "the visits, newest first");
  same(await text(page, "cards-since"), since, "the course");
  await stored_visits(page, 2);
}

// Whatever script somebody writes in, what the fields hold is kept: a letter takes up to three bytes.
async function keeps_long_notes(house) {
  const page = await house.open_ready();
  await page.open_panel("cards");
  await page.page.locator("#cards-new").click();
  const long = { "card-name": "機".repeat(60), "card-trimmer": "穴".repeat(100), "card-note": "字".repeat(1000) };
  for (const [id, value] of Object.entries(long)) {
    await page.page.locator(`#${id}`).fill(value);
    await page.page.locator(`#${id}`).blur();
  }
  await page.page.waitForTimeout(500);
  await page.reload();
  await page.open_panel("cards");
  await page.page.locator("#cards-card summary", { hasText: "The machine" }).click();
  for (const [id, value] of Object.entries(long)) same(await page.page.locator(`#${id}`).inputValue(), value, id);
  same(await page.page.locator("#cards-aside").isVisible(), false, "something was set aside");
}

// A promise to keep cards is a courtesy: where a browser stumbles over the question, it keeps them all the same.
async function keeps_without_a_promise(house) {
  const page = await house.open_ready({
    before: (context) => context.addInitScript(() => {
      if (isSecureContext) StorageManager.prototype.persisted = () => Promise.reject(new TypeError("not here"));
    }),
  });
  await keep_a_visit(house, page, 3012, "act-as-found");
  await stored_visits(page, 1);
  none((await page.told()).messages.filter((message) => /keeps nothing/.test(message)), "messages");
}

// A file is opened because somebody wants what is in it: what was removed here meanwhile comes back, and the page says so.
async function brings_back_what_was_removed(house) {
  const page = await house.open_ready();
  await keep_a_visit(house, page, 3012, "act-as-found");
  await keep_a_visit(house, page, 3001, "act-as-left");
  await page.open_panel("cards");
  await visit_count(page, 2);
  await page.page.locator("#cards summary", { hasText: "carry over" }).click();
  check(/what was removed here since then/.test(await text(page, "cards")), "that a file brings back what was removed is not said");
  const cards = await downloaded(page, () => page.page.locator("#cards-save").click());
  await page.page.locator("#cards-visits details button", { hasText: "Remove this visit" }).first().click();
  await visit_count(page, 1);
  await page.page.locator("#cards-input").setInputFiles(cards.path);
  await page.until_text("cards-said", /^1 new, 0 renewed, 2 known already/);
  await visit_count(page, 2);
}

// The program measures with what is known of the machine at hand, whichever that is after a card was removed or came back.
async function another_machine_is_at_hand(house) {
  const page = await house.open_ready();
  await page.open_panel("cards");
  for (const [name, tolerance] of [["Deck", "0.3"], ["Portable", "2"]]) {
    await page.page.locator("#cards-new").click();
    await page.page.waitForFunction(() => document.activeElement.id === "card-name", undefined, { polling: 50 });
    await page.page.locator("#card-name").fill(name);
    await page.page.locator("#card-name").blur();
    await page.page.locator("#card-tolerance").fill(tolerance);
    await page.page.locator("#card-tolerance").blur();
    await page.page.waitForFunction((value) => document.getElementById("control-tolerance").value === value, tolerance, { polling: 50, timeout: 10_000 });
  }
  const at_hand = (name, tolerance) => page.page.waitForFunction(([shown, value]) =>
    document.getElementById("cards-choice").selectedOptions[0]?.textContent === shown && document.getElementById("control-tolerance").value === value,
  [name, tolerance], { polling: 50, timeout: 10_000 });
  await at_hand("Portable", "2");
  await page.page.locator("#cards-remove").click();
  await at_hand("Deck", "0.3");
  await page.page.locator("#cards-undo").click();
  await at_hand("Portable", "2");
  await page.reload();
  await page.open_panel("cards");
  await at_hand("Portable", "2");
}

async function storage_is_refused(house) {
  const page = await house.open_ready({
    before: (context) => context.addInitScript(() => {
      IDBFactory.prototype.open = () => {
        throw new DOMException("no", "SecurityError");
      };
    }),
  });
  await page.message(/keeps nothing for this page/);
  await keep_a_visit(house, page, 3012, "act-as-found");
  await page.open_panel("cards");
  await visit_count(page, 1);
}

// Something else has filled the device after a first visit, and has broken a record.
async function storage_is_full_and_broken(house) {
  const page = await house.open_ready();
  await keep_a_visit(house, page, 3012, "act-as-found");
  await page.open_panel("cards");
  await visit_count(page, 1);
  await page.close_panel();
  await page.page.evaluate(() => {
    IDBObjectStore.prototype.put = () => {
      throw new DOMException("full", "QuotaExceededError");
    };
  });
  await page.press("act-as-left");
  await page.message(/no room left/);
  await page.open_panel("cards");
  await visit_count(page, 2); // the new one too, as long as the page lasts
  await page.reload();
  await page.open_panel("cards");
  await visit_count(page, 1);
  await put_records(page, { cards: [{ id: "x".repeat(20), name: 7, visits: [] }] });
  await page.page.reload();
  await page.message(/was damaged/);
  await page.press_in_messages("Cards");
  await page.until_text("cards-aside-list", /card \d, .*: name is not text/);
  await visit_count(page, 1);
  const aside = await downloaded(page, () => page.page.locator("#cards-aside-save").click());
  same(JSON.parse(readFileSync(aside.path, "utf8")).cards[0].name, 7, "what was set aside is whole");
  await page.page.locator("#cards-aside-forget").click();
  await page.page.waitForFunction(() => document.getElementById("cards-aside").hidden, undefined, { polling: 50 });
}

// A broken visit, a broken card and a broken tape: each is set aside whole and once, the rest stays as it is, and all of it
// comes back when it is mended. In every language, for none of this is to rest on what people read.
async function sets_aside_in_every_language(house) {
  const visit = (id, more = {}) => ({ id, time: "2026-11-26 10:45", stage: "as_left", seconds: 30, nominal_hz: 3000, tolerance_percent: 0.5, changed_ms: 5,
    channels: [{ channel: "mono", status: "measured", speed_error_percent: 0.4, u95_percent: 0.01 }], ...more });
  const good = { id: "good", name: "Deck", later: "what a newer page put there", changed_ms: 5, visits: [visit("v1"), visit("v2", { stage: "sold", note: "whole" }), visit("v3"), visit("v4", { seconds: "30" })] };
  const bad = { id: "bad", name: 7, visits: [visit("w", { note: "of the broken card" })] };
  const tapes = [{ id: "t1", name: "Mine", true_hz: 3003.2 }, { id: "t2", name: "Other", true_hz: "3150", note: "whole" }];
  const rest = { cards: [{ ...good, visits: [good.visits[0], good.visits[2]] }], tapes: [tapes[0]] };
  const order = (records) => records.map((record) => JSON.stringify(record)).sort();
  for (const locale of ["en-GB", "de-DE", "es-ES"]) {
    const page = await house.open_ready({ locale });
    await put_records(page, { cards: [good, bad], tapes });
    for (const load of ["the first load", "the next one", "and the next"]) {
      await page.reload();
      await page.open_panel("cards");
      await page.page.waitForFunction(() => document.querySelectorAll("#cards-aside-list li").length >= 4, undefined, { polling: 50 });
      await page.page.waitForTimeout(300); // for what another load might add
      const records = await stored_records(page);
      same({ cards: records.cards, tapes: records.tapes }, rest, `what stays, ${locale}, ${load}`);
      same(order(records.aside.map(({ record }) => record)), order([good.visits[1], good.visits[3], bad, tapes[1]]), `what is set aside, ${locale}, ${load}`);
      await visit_count(page, 2);
    }
    // Mended by hand, and opened like any file of cards.
    const { path } = await downloaded(page, () => page.page.locator("#cards-aside-save").click());
    const mended = readFileSync(path, "utf8").replace('"sold"', '"as_found"').replace('"30"', "30").replace('"name": 7', '"name": "Seven"').replace('"3150"', "3150");
    await page.page.locator("#cards-input").setInputFiles(house.file("mended.json", Buffer.from(mended)));
    const back = await stored(page, "what was mended", ({ cards, tapes: there }) => cards.length === 2 && there.length === 2);
    const of = (id) => back.cards.find((card) => card.id === id);
    same(of("good").visits.map(({ id }) => id).sort(), ["v1", "v2", "v3", "v4"], `the visits, ${locale}`);
    same([of("good").name, of("good").visits.find(({ id }) => id === "v2").note, of("bad").name, of("bad").visits[0].note], ["Deck", "whole", "Seven", "of the broken card"], `all of it, ${locale}`);
    same(back.tapes.find(({ id }) => id === "t2").note, "whole", `the tape, ${locale}`);
    await page.page.locator("#cards-aside-forget").click();
    await stored(page, "nothing set aside", ({ aside }) => aside.length === 0);
  }
}

// What tapes told by themselves stands among the visits as what it is: what was found and left stays what was measured. A
// broken one is set aside whole and comes back mended; a file carries both to another device.
async function tells_what_tapes_told_in_every_language(house) {
  const measured = (id, stage, percent) => ({ id, time: "2026-11-26 10:45", stage, place: "unsaid", source: "tone", seconds: 30, nominal_hz: 3000, tolerance_percent: 0.5, changed_ms: 5,
    channels: [{ channel: "mono", status: "measured", reasons: [], components: [], speed_error_percent: percent, u95_percent: 0.01 }] });
  const told = (id, by_tapes) => ({ id, time: "2026-11-27 09:10", stage: "between", place: "unsaid", source: "tapes", seconds: 240, tolerance_percent: 0.5, channels: [], changed_ms: 5, by_tapes });
  const by_tapes = { tapes: 6, speed_error_percent: 0.32, u95_percent: 0.41, concert_a_hz: 440, sounds_like: "right" };
  const broken = told("t2", { ...by_tapes, u95_percent: "0.41", note: "whole" });
  const card = { id: "deck", name: "Deck", changed_ms: 5, visits: [measured("v1", "as_found", -1.2), measured("v2", "as_left", 0.04), told("t1", by_tapes), broken] };
  const said = [
    ["en-GB", /By 6 tapes: \+0\.32 ±0\.41 % \(as most music is tuned\)/, "About right"],
    ["de-DE", /Laut 6 Kassetten: \+0,32 ±0,41 % \(wie die meiste Musik gestimmt ist\)/, "Etwa richtig"],
    ["es-ES", /Según 6 cintas: \+0,32 ±0,41 % \(como está afinada casi toda la música\)/, "Más o menos bien"],
  ];
  for (const [locale, words, sounds] of said) {
    const page = await house.open_ready({ locale });
    await put_records(page, { cards: [card] });
    await page.reload();
    await page.open_panel("cards");
    await visit_count(page, 3);
    const [newest] = await visits(page);
    check(words.test(newest.line) && newest.judged === "not_measured", `${locale}: ${newest.line}`);
    check(Object.values(newest.rows).includes(sounds), `${locale}: ${JSON.stringify(newest.rows)}`);
    check(words.test(await text(page, "cards-since")), `${locale}, beside what was measured: ${await text(page, "cards-since")}`);
    check(/1[.,]2.*0[.,]04/.test(await text(page, "cards-held")), `${locale}, found and left: ${await text(page, "cards-held")}`);
    const { aside } = await stored(page, "the broken one set aside", (there) => there.aside.length === 1);
    same(aside[0].record, broken, `what is set aside, ${locale}`);
    await page.page.locator("#cards-report").click();
    await page.until_text("report-sheet", words);
    await page.page.locator("#report [data-help=cards]").click();
    const saved = await downloaded(page, () => page.page.locator("#cards-aside-save").click());
    const mended = readFileSync(saved.path, "utf8").replace('"0.41"', "0.41");
    await page.page.locator("#cards-input").setInputFiles(house.file("mended.json", Buffer.from(mended)));
    await visit_count(page, 4);

    const fresh = await house.open_ready({ locale });
    const carried = await downloaded(page, () => page.page.evaluate(() => document.getElementById("cards-save").click()));
    await fresh.open_panel("cards");
    await fresh.page.locator("#cards-input").setInputFiles(carried.path);
    await visit_count(fresh, 4);
    const [{ visits: came }] = (await stored(fresh, "what was carried over", ({ cards }) => cards.length === 1)).cards;
    same(came.filter(({ source }) => source === "tapes").map((visit) => [visit.id, visit.by_tapes]), [["t1", by_tapes], ["t2", by_tapes]], `what was carried over, ${locale}`);
  }
}

// The line of a visit and of a typed reading begin with the speed, whatever it is called.
async function tells_the_speed_in_every_language(house) {
  for (const [locale, speed] of [["en-GB", /0\.4\d* % fast/], ["de-DE", /0,4\d* % zu schnell/], ["es-ES", /0,4\d* % (?:más )?rápid/]]) {
    const page = await house.open_ready({ locale });
    await page.open_panel("typed");
    await page.page.locator("#typed-left").fill("3012");
    await page.until_text("typed-said", speed);
    await page.page.locator("#typed-keep").click();
    await stored_visits(page, 1);
    await page.page.locator("#typed [data-close]").click();
    await page.open_panel("cards");
    await visit_count(page, 1);
    const line = await page.page.evaluate(() => document.querySelector("#cards-visits summary strong").textContent.replaceAll("\u00a0", " "));
    check(speed.test(line), `${locale}: ${line}`);
  }
}

// More than the reader takes at once, which only something strange can have put there: said, and left as it is.
async function says_that_nothing_can_be_read(house) {
  const page = await house.open_ready();
  await keep_a_visit(house, page, 3012, "act-as-found");
  await stored_visits(page, 1);
  await put_records(page, { cards: Array.from({ length: 170 }, (_, i) => ({ id: `strange ${i}`, name: "x", visits: [], strange: "x".repeat(200_000) })) });
  await page.reload();
  await page.open_panel("cards");
  await page.until_text("cards-said", /too large/, 10_000);
  same((await stored_cards(page)).length, 171, "cards in the database");
}

async function with_visits(house, page) {
  await keep_a_visit(house, page, 3012, "act-as-found");
  await keep_a_visit(house, page, 3001, "act-as-left");
}
function cards_look(house) {
  return looks_right(house, "cards", {}, async (page) => {
    await with_visits(house, page);
    await page.open_panel("cards");
    await visit_count(page, 2);
  }, { at_every_size: false });
}
function report_looks(house) {
  return looks_right(house, "report", {}, async (page) => {
    await with_visits(house, page);
    await page.open_panel("cards");
    await visit_count(page, 2);
    await page.page.locator("#cards-report").click();
    await page.until_text("report-sheet", /From/);
  }, { at_every_size: false });
}

// A date is read as is usual where the reader is, on the card and in the report; what is kept and exported has it as it was.
async function tells_dates_as_is_usual(house) {
  const visit = { id: "v1", time: "2026-11-26 10:45", stage: "as_left", seconds: 30, nominal_hz: 3000, tolerance_percent: 0.5, changed_ms: 5,
    channels: [{ channel: "mono", status: "measured", speed_error_percent: 0.4, u95_percent: 0.01 }] };
  for (const [locale, day] of [["en-GB", /26 Nov 2026, 10:45/], ["en-US", /Nov 26, 2026, 10:45.AM/], ["de-DE", /26\.11\.2026, 10:45/], ["es-ES", /26 nov 2026, 10:45/]]) {
    const page = await house.open_ready({ locale });
    await put_records(page, { cards: [{ id: "one", name: "Deck", changed_ms: 5, visits: [visit] }], tapes: [] });
    await page.reload();
    await page.open_panel("cards");
    await visit_count(page, 1);
    const [{ line }] = await visits(page);
    check(day.test(line), `${locale}: ${line}`);
    await page.page.locator("#cards-report").click();
    await page.until_text("report-sheet", day);
    check(!/\d{4}-\d\d-\d\d/.test(await text(page, "report-sheet")), `${locale}: a date in the report is not the reader's`);
    await page.page.locator("#report [data-help=cards]").click();
    const csv = await downloaded(page, () => page.page.evaluate(() => document.getElementById("cards-csv").click()));
    check(readFileSync(csv.path, "utf8").includes("2026-11-26 10:45"), "the exported date has changed");
  }
}

export const tests = [
  ["cards: a whole job, from as found to the printed report, with a reload in between", whole_job],
  ["cards: saved as a file, opened on another device, merged; hostile files refused", carries_over],
  ["cards: an older visit is taken back to where it stood, and once", takes_back_an_older_visit],
  ["cards: a file brings back what was removed, and the page says that it does", brings_back_what_was_removed],
  ["cards: a card that is removed or comes back is told to the program", another_machine_is_at_hand],
  ["cards: long notes in any script are kept", keeps_long_notes],
  ["cards: a browser that cannot promise to keep them keeps them all the same", keeps_without_a_promise],
  ["cards: a browser that keeps nothing is said to", storage_is_refused],
  ["cards: a full device is said, and what is broken is set aside", storage_is_full_and_broken],
  ["cards: what is broken is set aside whole and once, and comes back mended, in every language", sets_aside_in_every_language],
  ["cards: what tapes told stands among the visits as what it is, in every language", tells_what_tapes_told_in_every_language],
  ["cards: a visit and a typed reading tell their speed in every language", tells_the_speed_in_every_language],
  ["cards: dates are the reader's, exported they are as they were kept", tells_dates_as_is_usual],
  ["cards: more than can be read is said, and left as it is", says_that_nothing_can_be_read],
  ["cards: the cards fit phone and desktop", cards_look],
  ["cards: the report fits phone and desktop", report_looks],
];
