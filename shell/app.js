// app: puts the page together. Reads like a table of contents; each noun has its own file.
/** @import {Ask, CardsState, Change, NewVisit, Page, State, Words} from "./types" */
import { Awake } from "./awake.js";
import { CanvasInput } from "./canvas_input.js";
import { Capture } from "./capture.js";
import { CardBook } from "./card_book.js";
import { CardStore } from "./card_store.js";
import { CardsDialog } from "./cards.js";
import { CausesPanel } from "./causes.js";
import { ClockDialog } from "./clock.js";
import { CoachDialog } from "./coach.js";
import { Controls } from "./controls.js";
import { HelpDialog, leads_to_a_place, NumberDialog } from "./dialogs.js";
import { $, $canvas } from "./dom.js";
import { Drawn } from "./drawn.js";
import { Files } from "./files.js";
import { FriendDialog } from "./friend.js";
import { GuideDialog } from "./guide.js";
import { MeasureDialog } from "./measure.js";
import { follow_look } from "./look.js";
import { Mirror } from "./mirror.js";
import { Offline } from "./offline.js";
import { Panels } from "./panels.js";
import { Program } from "./program.js";
import { ReportDialog } from "./report.js";
import { keep, kept } from "./settings_store.js";
import { show_missing } from "./support.js";
import { TableDialog } from "./table.js";
import { TapesDialog } from "./tapes.js";
import { TestTapeDialog } from "./test_tape.js";
import { text_size } from "./text_size.js";
import { TypedDialog } from "./typed.js";
import { WatchDialog } from "./watch.js";
import { catalogue } from "./words.js";

const program = new Program();
const capture = new Capture(program);
const awake = new Awake((state) => program.control("screen", state));
const help = new HelpDialog();
const number = new NumberDialog((question, value) => program.number_entered(question, value));
const files = new Files(program);
const offline = new Offline(() => program.update_ready());
const canvas = new CanvasInput($canvas("instrument"), program);
const drawn = new Drawn((id) => program.drawn_pressed(id));
text_size.when_changed(() => drawn.fit());
const mirror = new Mirror();
const panels = new Panels();
const clock = new ClockDialog({
  press: (act) => program.button(act),
  change: (name, value) => program.control(name, value),
  prime: () => capture.prime(), // sound may begin within a tap
});
const measure = new MeasureDialog({ change: (name, value) => program.control(name, value) });
const causes = new CausesPanel({ change: (name, value) => program.control(name, value), show: (section) => help.show(section) });
const guide = new GuideDialog();
const coach = new CoachDialog({ change: (name, value) => program.control(name, value) });
const tapes = new TapesDialog({ change: (name, value) => program.control(name, value) });
const cards_state = (/** @type {CardsState} */ state) => program.control("cards", state);
const book = new CardBook(new CardStore(cards_state), { ask: (...question) => program.ask(...question), tell: cards_state });
const cards = new CardsDialog(book, { change: (name, value) => program.control(name, value) });
/** @type {Ask} */
const ask = (...question) => program.ask(...question);
/** @type {Change} */
const change = (name, value) => program.control(name, value);
let taken = ""; // the link's fragment that the program was told last
const friend = new FriendDialog(book, cards, { ask, press: (act) => program.button(act), link: () => taken.slice(1) });
const typed = new TypedDialog(cards, { ask });
const test_tape = new TestTapeDialog(book, { change, ask, tone_file: (...tone) => program.tone_file(...tone) });
const watch = new WatchDialog({ change });
new TableDialog({ ask });
new ReportDialog(book, { shown_card: () => cards.shown_id });
const kListens = new Set(["act-listen", "act-answer", "act-song-record", "act-song-listen"]);
const controls = new Controls({
  press(act) {
    if (kListens.has(act)) capture.prime(); // within the tap, where the browser lets sound begin
    program.button(act);
    if (!program.running) controls.say_loading();
  },
  change: (name, value) => program.control(name, value),
});

// What the program asks of the page (web/platform/browser.cpp calls these).
/** @type {Page} */
const page = {
  startCapture: (device) => capture.start(device),
  stopCapture: () => capture.stop(),
  listDevices: () => capture.list_devices(),
  openFilePicker: (role) => files.pick(role),
  cancelFile: () => files.cancel(),
  measureAgain: (hz, sure, near) => files.measure_again(hz, sure, near),
  askNumber: (...question) => number.ask(...question),
  showHelp: (section) => help.show(section),
  keepAwake: (on) => awake.keep(on),
  store: keep,
  load: kept,
  host: () => [navigator.userAgentData?.platform ?? "", navigator.userAgent, navigator.maxTouchPoints ?? 0, catalogue, matchMedia("(prefers-reduced-motion: reduce)").matches],
  showWords(json) {
    /** @type {Words} */
    const words = JSON.parse(json);
    panels.tell(words);
    controls.tell(words);
    tapes.tell(words);
    for (const place of document.querySelectorAll("[data-caution]")) place.textContent = words.caution;
  },
  keepVisit(json, demo) {
    /** @type {NewVisit} */
    const visit = JSON.parse(json);
    friend.answered_with(visit, { demo });
    cards.keep(visit, { demo }).then(() => program.control("visit", "stored"));
  },
  takeUpdate: () => offline.take_update(),
  attachCanvas: () => canvas.attach(),
  sizeCanvas: (width, height) => canvas.size(width, height),
  showDrawn: (json) => drawn.show(JSON.parse(json)),
  show(json) {
    /** @type {State} */
    const state = JSON.parse(json);
    $("app").dataset.phase = state.phase;
    $("app").dataset.bench = state.song.bench;
    $("app").dataset.recording = String(state.song.recorded_s !== null);
    capture.phase = state.phase;
    capture.again = state.song.again;
    files.role = state.song.role;
    files.nominal_hz = Number(state.controls.tone.value);
    mirror.show(state);
    controls.show(state);
    panels.show(state);
    clock.show(state.clock);
    causes.show(state.causes_panel);
    guide.show(state.usable);
    coach.show(state.coach, state.usable["act-turned"]);
    tapes.show(state.song.tapes);
    measure.show(state.measure, state.usable["act-measure"]);
    cards.show(state);
    friend.show(state);
    typed.show(state);
    test_tape.show(state);
    watch.show(state);
  },
};

// A link's settings are not taken again when Back from a place of the page brings them by.
/** @param {HashChangeEvent} [event] */
function report_fragment(event) {
  const { hash } = location;
  const is_back = event && hash === taken && leads_to_a_place(new URL(event.oldURL).hash);
  if (hash.length <= 1 || is_back || leads_to_a_place(hash)) return;
  if (hash === "#song") { // a place that is no page: the address is given back
    history.replaceState(null, "", location.pathname + location.search);
    program.button("act-song");
    return;
  }
  taken = hash;
  program.fragment(hash.slice(1));
}

addEventListener("submit", (event) => event.preventDefault()); // the page sends no forms
show_missing();
follow_look((look) => program.control("look", look));
addEventListener("hashchange", report_fragment);
report_fragment();
offline.start();
let has_left = false;
addEventListener("pagehide", () => { has_left = true; });
program.load(page).then(() => cards.start()).then(() => {
  help.start();
  if (location.hash !== taken) report_fragment(); // a link under a page that was loaded anew
}).catch((error) => {
  addEventListener("pageshow", ({ persisted }) => { if (persisted) location.reload(); }); // who left before it was there, and comes back
  if (has_left) return;
  console.error(error);
  controls.say_broken();
});
