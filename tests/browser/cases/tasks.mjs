// The workplace: every task within two taps of a reading that runs, places with addresses, and the four that never move.
import { readFileSync } from "node:fs";
import { check, none, same } from "../check.mjs";
import { tone } from "../sound.mjs";

const kPage = new URL("../../../assets/docs/tasks.md", import.meta.url);
const kPhone = { width: 390, height: 844 };

function tasks() {
  const rows = readFileSync(kPage, "utf8").split("\n").filter((line) => line.startsWith("| ")).slice(2);
  return rows.map((row) => row.split("|").slice(1, -1).map((cell) => cell.trim())).map(([task, first, second, seen]) => ({ task, taps: [first, second].filter((tap) => tap !== ""), seen: seen.replaceAll("`", "") }));
}

// A button that can be seen and says so, or begins with it; the newest page over the others first.
const button = (page, words) => page.page.locator("button:visible", { hasText: new RegExp(`^\\s*${words.replaceAll("?", "\\?")}`) }).last();

// The demo's reading runs, and nothing stands over it; where a task has ended it, it is begun anew.
async function reading_runs(page) {
  await page.page.evaluate(() => {
    document.querySelector("dialog:modal")?.close();
    if (document.getElementById("settings").classList.contains("open")) document.getElementById("close-settings").click();
    if (!document.getElementById("coach").hidden) document.getElementById("coach-close").click();
    const leave = document.getElementById("act-song-close");
    if (!leave.hidden) leave.click();
  });
  if ((await page.page.locator("#acts [data-runs]").count()) > 0) { // a measurement ends where it began
    await page.page.waitForTimeout(800); // not by a double tap
    await page.page.evaluate(() => document.querySelector("#acts [data-runs]")?.click());
  }
  if ((await page.told()).phase !== "demo") {
    await page.page.locator("#act-demo").waitFor();
    await page.press("act-demo");
  }
  await page.measured();
}

async function two_taps(house) {
  const missed = [];
  const page = await house.open_ready({ ...kPhone, touch: true });
  for (const { task, taps, seen } of tasks()) {
    await reading_runs(page);
    const chooser = seen === "a file chooser" ? page.page.waitForEvent("filechooser", { timeout: 10_000 }) : undefined;
    for (const tap of taps) await button(page, tap).tap({ timeout: 5000 });
    const there = chooser ?? page.page.locator(seen).waitFor({ timeout: 10_000 });
    await there.catch(() => missed.push(`${task}: ${taps.join(", ")}`));
  }
  none(missed, "not there after two taps");
  house.note(`${tasks().length} tasks`);
}

// What stands below stays where it is, whatever runs; what cannot be pressed is dim, not gone.
async function four_places(house) {
  const page = await house.open_ready({ ...kPhone, touch: true });
  const places = () => page.page.evaluate(() => ["act-as-found", "act-as-left", "open-card"].map((id) => {
    const { left, top, width, height } = document.getElementById(id).getBoundingClientRect();
    return [id, left, top, width, height].join(" ");
  }));
  const idle = await places();
  check(await page.page.locator("#act-as-found").isDisabled(), "As found, with nothing to keep");
  await page.press("act-demo");
  await page.measured();
  same(await places(), idle, "the places while the demo plays");
  await page.press("act-as-found");
  await page.until_text("act-as-found", /Cancel, \d+ s/);
  same(await places(), idle, "the places while a measurement runs");
  await page.page.waitForTimeout(800); // a double tap ends nothing
  await page.press("act-as-found"); // ends there
  await page.until_text("act-as-found", /^As found$/);
  await page.measured();
  await page.press("act-stop");
  await page.phase("held");
  same(await places(), idle, "the places while the last reading is held");
  await page.press("act-as-left");
  await page.message(/As left: .* It is on the card/);
  await page.press("act-clear");
  await page.phase("idle");
}

// Back closes a page, Forward opens it again; a link leads to it; a link's settings stay.
async function places_have_addresses(house) {
  const page = await house.open_ready({ ...kPhone, fragment: "#v1.tone=3150" });
  const hash = () => page.page.evaluate(() => location.hash);
  const shown = (id) => page.page.locator(`#${id}:modal`).waitFor({ timeout: 5000 });
  const gone = () => page.page.waitForFunction(() => document.querySelector("dialog:modal") === null, undefined, { polling: 50, timeout: 5000 });
  await page.press("open-card");
  await shown("cards");
  same(await hash(), "#cards", "the card's address");
  await page.page.goBack();
  await gone();
  same(await hash(), "#v1.tone=3150", "the address after Back");
  await page.page.goForward();
  await shown("cards");
  await page.close_panel();
  await gone();
  await page.page.waitForFunction(() => location.hash === "#v1.tone=3150", undefined, { polling: 50, timeout: 5000 });
  same(await page.page.locator("#control-tone").inputValue(), "3150", "the link's tone");
  // The menu has no address, but is a step of Back; a page that it leads to takes its place.
  const menu = (open) => page.page.waitForFunction((is) => document.getElementById("settings").classList.contains("open") === is, open, { polling: 50, timeout: 5000 });
  await page.press("open-settings");
  await menu(true);
  await page.page.goBack();
  await menu(false);
  same(await hash(), "#v1.tone=3150", "the address after Back from the menu");
  await page.press("open-settings");
  await menu(true);
  await page.page.locator("#settings [data-help=guide]").click();
  await shown("guide");
  await page.page.goBack();
  await gone();
  await menu(false);
  same(await hash(), "#v1.tone=3150", "the address after Back from what the menu led to");
  // Help is a page like the others.
  await page.press("open-settings");
  await page.page.locator("#settings [data-help=use], #settings [data-help=doubt], #settings [data-help=safety]").first().click();
  await shown("help");
  same(await hash(), "#help", "the address of help");
  await page.page.goBack();
  await gone();
  // From page to page is one step of Back.
  await page.open_panel("budget");
  await shown("budget");
  await page.page.locator("#budget [data-help=clock]").click();
  await shown("clock");
  await page.page.goBack();
  await gone();

  const linked = await house.open_ready({ ...kPhone, fragment: "#guide" });
  await linked.page.locator("#guide:modal").waitFor({ timeout: 10_000 });
  same((await linked.told()).messages, [], "messages about a link");
  await linked.close_panel();
}

// The first visit asks what there is; each answer leads straight to its place, and Back to the question.
async function asks_what_there_is(house) {
  const page = await house.open_ready({ ...kPhone, touch: true, sound: [tone({ hz: 3012, seconds: 30, carrier_to_noise_dbhz: 68 })] });
  const ask = async () => {
    await page.page.locator("#welcome [data-help=have]").tap();
    await page.page.locator("#have:modal").waitFor();
  };
  const answers = page.page.locator("#have .tools > *");
  await ask();
  same(await page.page.evaluate(() => location.hash), "#have", "the question's address");
  same(await answers.count(), 5, "answers");
  const leads = async (answer, seen) => {
    await answers.filter({ hasText: answer }).tap();
    await page.page.locator(seen).waitFor({ timeout: 10_000 });
  };
  await page.page.goBack();
  await page.page.locator("#have").waitFor({ state: "hidden" });
  await ask();
  await leads(/^A meter/, "#typed:modal");
  await page.close_panel();
  for (const answer of [/^A tape and its song/, /^A machine that is right/]) {
    await ask();
    await leads(answer, "#act-song-reference:visible");
    check(await page.page.locator("#act-song-record").isVisible(), "it can be recorded, too");
    await page.press("act-song-close");
    await page.page.locator("#welcome").waitFor();
  }
  await ask();
  await leads(/^Only tapes/, "#any-tapes[data-phase=idle]");
  await page.page.goBack();
  await page.page.locator("#have:modal").waitFor({ timeout: 20_000 });
  await leads(/^A speed tape/, "#act-stop:visible");
  await page.measured();

  // By the keyboard, and by an address.
  const typed = await house.open_ready({ ...kPhone, fragment: "#have" });
  await typed.page.locator("#have:modal").waitFor({ timeout: 10_000 });
  check(await typed.page.evaluate(() => document.activeElement.closest("#have .tools") !== null), "the keyboard does not begin at the answers");
  await typed.page.keyboard.press("Tab");
  await typed.page.keyboard.press("Enter");
  await typed.page.locator("#act-song-reference:visible").waitFor({ timeout: 10_000 });
  const linked = await house.open_ready({ ...kPhone, fragment: "#song" });
  await linked.page.locator("#act-song-reference:visible").waitFor({ timeout: 10_000 });
  same((await linked.told()).messages, [], "messages about a link");
  same(await linked.page.evaluate(() => location.hash), "", "the address once the song's place is open");
}

// As a phone, a tablet that is turned, a desktop: the card stands beside the instrument where there is room.
async function card_stands_where_there_is_room(house) {
  const page = await house.open_ready({ width: 1280, height: 800 });
  const card = page.page.locator("#cards");
  await card.waitFor({ timeout: 10_000 }); // once what is kept has been read
  check(!(await card.evaluate((dialog) => dialog.matches(":modal"))), "the card is in the way");
  await page.page.setViewportSize(kPhone);
  await card.waitFor({ state: "hidden", timeout: 5000 });
  await page.press("open-card");
  check(await card.evaluate((dialog) => dialog.matches(":modal")), "on a phone the card is a page");
  await page.page.setViewportSize({ width: 1280, height: 800 });
  await page.page.waitForFunction(() => !document.getElementById("cards").matches(":modal") && document.getElementById("cards").open, undefined, { polling: 50, timeout: 5000 });
}

// The machine at hand is named above, with what was found and left; another machine's notice goes with it.
async function machine_in_sight(house) {
  const page = await house.open_ready(kPhone);
  same(await page.page.locator("#machine-name").textContent(), "not named yet", "before the first card");
  await page.press("act-demo");
  await page.measured();
  await page.until_text("machine-name", /demo's machine/);
  await page.press("act-stop");
  await page.press("act-as-found");
  await page.message(/As found: .*It is on the card/);
  await page.until_text("machine-what", /^\+1\.\d+ \u2192 \u2013$/);
  await page.press("act-clear");
  await page.until_text("machine-name", /not named yet/);
  await page.press("open-card");
  await page.page.locator("#cards-new").click();
  await page.page.waitForFunction(() => document.getElementById("cards-choice").selectedOptions[0]?.textContent === "A machine without a name", undefined, { polling: 50 });
  await page.page.locator("#card-name").fill("Kitchen deck");
  await page.page.locator("#card-name").blur();
  await page.until_text("machine-name", /Kitchen deck/);
  await page.close_panel();
  await page.until("the demo's notice to be gone", (told) => !told.messages.some((message) => /As found/.test(message)));
}

export const tests = [
  ["tasks: each is within two taps of a reading that runs", two_taps],
  ["tasks: four places never move", four_places],
  ["tasks: the first visit asks what there is, and each answer leads straight there", asks_what_there_is],
  ["tasks: pages have addresses, and Back closes them", places_have_addresses],
  ["tasks: the card stands where there is room", card_stands_where_there_is_room],
  ["tasks: the machine at hand is in sight", machine_in_sight],
];
