// Only tapes: the page for whoever has neither a speed tape nor the song. What the speeds come to is the core's affair, and
// tested there; here is whether the page hears, shows, keeps and says what its program tells.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { check, near, none, number, same } from "../check.mjs";
import { layout_faults } from "../layout_faults.mjs";
import { compose, perform } from "../music.mjs";
import { stored_visits } from "../stored.mjs";
import { faults_now } from "./access.mjs";
import { kShots } from "./sizes.mjs";
import { english_in } from "./words.mjs";

const kSizes = [[390, 844], [844, 390], [1280, 800]];
const kPatienceMs = 60_000;
const kMusic = { seconds: 40, hiss: 0.003 };

// A drawer as the page keeps it: concert pitch alone, so many cents beside A = 440 Hz for each tape, and how they sound.
const kNotSaid = 0, kSlow = 1, kRight = 2, kFast = 3;
const drawer_of = (sounds_like, ...cents) => JSON.stringify({
  schema: "four76.drawer/1", concert_a_hz: 440, sounds_like,
  tapes: cents.map((each, i) => ({
    name: `Side ${i + 1}`, heard_s: 40, wow_rms_percent: 0.12, drift_percent_per_minute: 0.01, reasons: [],
    evidence: [{ kind: "concert_pitch", nominal_hz: 440, measured_hz: 440 * 2 ** (each / 1200), u95_percent: 0.02, on_tape: 1 }],
  })),
});

const in_phase = (page, phase) => page.page.locator(`#any-tapes[data-phase=${phase}]`).waitFor({ timeout: kPatienceMs });
const figures = (page) => page.page.locator("#figures [data-value]").evaluateAll((found) => found.map(({ dataset }) => Number(dataset.value)));
const says = (page, id, pattern) => page.page.locator(`#${id}`, { hasText: pattern }).waitFor({ timeout: kPatienceMs });
const kept = (page, count) => page.page.waitForFunction((wanted) => document.querySelectorAll("#tapes li").length === wanted, count, { polling: 50, timeout: kPatienceMs });
const until_status = (page, wanted) => page.page.locator(`#figures[data-status=${wanted}]`).waitFor({ state: "attached", timeout: kPatienceMs });

// drawer: what was kept on this device before.
async function open_tapes(house, { drawer, before, ...options } = {}) {
  const page = await house.open({
    fragment: "tapes.html", ...options,
    before: async (context) => {
      await before?.(context);
      if (drawer) await context.addInitScript((text) => isSecureContext && (localStorage["four76.drawer "] ??= text), drawer);
    },
  });
  await in_phase(page, "idle");
  return page;
}
async function choose_file(page, path) {
  await page.page.locator("#file-input").setInputFiles(path);
}

async function opens_from_the_menu(house) {
  const page = await house.open_ready({ width: 390, height: 844, touch: true });
  await page.press("open-settings");
  await page.page.locator("#settings a[href='tapes.html']").tap();
  await in_phase(page, "idle");
  await page.page.goBack();
  await page.page.locator("#welcome-listen").waitFor();
  await page.page.goto(new URL("tapes.html", page.home).href);
  await page.page.locator("header a").click();
  await page.page.locator("#welcome-listen").waitFor();
  // And straight to the other places.
  await page.page.goto(new URL("tapes.html", page.home).href);
  await page.page.locator("#choices a[href$='#song']").click();
  await page.page.locator("#act-song-reference:visible").waitFor();
  await page.page.goBack();
  await page.page.locator("#choices a[href$='#have']").click();
  await page.page.locator("#have:modal").waitFor();
}

async function listens_and_keeps(house) {
  const song = compose({ seconds: 60, seed: 3 });
  const page = await open_tapes(house, { sound: [perform(song, { ...kMusic, speed: 1.004 })] });
  await page.page.locator("#listen").click();
  await in_phase(page, "listening");
  await says(page, "heard", /^\d+ seconds$/);
  await page.page.locator("#figures [data-value]").first().waitFor({ timeout: kPatienceMs });
  await page.page.locator("#picture svg path").first().waitFor({ state: "attached" });
  check(await page.page.locator("#basis").innerText() !== "", "it does not say what it goes by");
  await page.page.locator("#stop").click();
  await in_phase(page, "idle");
  await page.page.locator("#tape-name").fill("Summer, side A");
  await page.page.locator("#keep").click();
  await kept(page, 1);
  check((await page.page.locator("#tapes li").innerText()).startsWith("Summer, side A"), "the name of the tape");
  check(await page.page.locator("#keep-form").isHidden(), "what was kept can be kept again");

  // The next one comes as a file, and is kept by itself.
  await choose_file(page, house.file("winter.wav", house.wav_of([perform(compose({ seconds: 60, seed: 5 }), { ...kMusic, speed: 1.004 })])));
  await kept(page, 2);
  await in_phase(page, "idle");
  check((await page.page.locator("#tapes li").last().innerText()).startsWith("winter"), "the file's name");
  await says(page, "basis", /these tapes/);
  const shown = () => page.page.locator("#figures").innerText();
  const before = await shown();
  await page.page.reload();
  await kept(page, 2);
  same(await shown(), before, "the figures after a reload");
  await page.page.locator("#tapes li").first().getByRole("button").click();
  await kept(page, 1);
  await page.page.reload();
  await kept(page, 1);
}

// A tape that is not kept by hand is kept when the next begins; what was heard is not lost.
async function keeps_the_last_when_the_next_begins(house) {
  const page = await open_tapes(house, { sound: [perform(compose({ seconds: 60, seed: 3 }), kMusic)] });
  await page.page.locator("#listen").click();
  await page.page.locator("#keep-form").waitFor({ timeout: kPatienceMs });
  await page.page.locator("#stop").click();
  await page.page.locator("#listen").click();
  await kept(page, 1);
  await says(page, "tapes", "Tape 1");
  await in_phase(page, "listening");
}

async function two_speeds_are_equals(house) {
  const page = await open_tapes(house, { drawer: drawer_of(kNotSaid, 50) });
  await until_status(page, "ambiguous");
  const likely = (await figures(page)).filter((each) => Math.abs(each) < 5).sort((a, b) => a - b); // a third one may begin at the edge
  same(likely.length, 2, "candidates");
  near(likely[0], -2.85, 0.4, "the slower one");
  near(likely[1], 2.93, 0.4, "the faster one");
  const sizes = await page.page.locator("#figures [data-value]").evaluateAll((all) => all.map((each) => getComputedStyle(each).fontSize));
  same(sizes[0], sizes[1], "their sizes");
  await page.page.locator("[data-reason=ambiguous]").waitFor();
  for (const [like, sign] of [[kSlow, -1], [kFast, 1]]) {
    await page.page.locator(`[data-sounds="${like}"]`).click();
    await page.page.locator(`[data-sounds="${like}"][aria-pressed=true]`).waitFor();
    const left = await figures(page);
    check(left.every((each) => Math.sign(each) === sign), `it sounds ${like}: ${left.join(", ")}`);
  }
  await page.page.reload();
  await page.page.locator(`[data-sounds="${kFast}"][aria-pressed=true]`).click(); // what was said of it stays, and can be taken back
  await page.page.locator(`[data-sounds="${kFast}"][aria-pressed=false]`).waitFor();
  same((await figures(page)).filter((each) => Math.abs(each) < 5).length, 2, "candidates, once it is taken back");
}

async function tapes_vote(house) {
  const one = await open_tapes(house, { drawer: drawer_of(kRight, 7) });
  await until_status(one, "measured");
  const half_width = async (page) => number(await page.page.locator("#figures [data-value]").getAttribute("data-u95"));
  const alone = await half_width(one);
  const four = await open_tapes(house, { drawer: drawer_of(kRight, 7, 5, 9, 7) });
  await until_status(four, "measured");
  const together = await half_width(four);
  check(together < 0.8 * alone, `four tapes: ±${together} %, one: ±${alone} %`);
  house.note(`±${alone.toFixed(2)} % by one, ±${together.toFixed(2)} % by four`);
  const digits = (await four.page.locator("#figures [data-value] span").innerText()).replace(/[^\d]/g, "").replace(/^0+/, "");
  same(digits.length, 2, `significant digits of the ± (${digits})`);
  await says(four, "to-go", /\d/);
  await four.page.locator("#tuning").selectOption("0");
  await until_status(four, "none");
  await says(four, "basis", /^Without a known tuning/);
  await four.page.locator("#tuning").selectOption("442");
  await until_status(four, "measured");
  near((await figures(four))[0], 0.4 - 0.454, 0.15, "tuned to 442 Hz");
}

// Each machine has a drawer of its own.
async function machines_are_apart(house) {
  const page = await open_tapes(house, { drawer: drawer_of(kRight, 7, 5) });
  await kept(page, 2);
  await page.page.locator("#machine").fill("Kitchen");
  await page.page.locator("#machine").press("Enter");
  await kept(page, 0);
  await page.page.reload();
  same(await page.page.locator("#machine").inputValue(), "Kitchen", "the machine after a reload");
  await page.page.locator("#machine").fill("");
  await page.page.locator("#machine").press("Enter");
  await kept(page, 2);
}

async function sets_a_damaged_drawer_aside(house) {
  const page = await open_tapes(house, { drawer: '{"schema":"four76.drawer/1","tapes":[{"name":7}]}' });
  await says(page, "said", /damaged and was set aside/);
  check((await page.page.evaluate(() => localStorage["four76.drawer  aside"])).includes('"name":7'), "it was thrown away");
}

async function goes_on_after_a_refusal(house) {
  const page = await open_tapes(house, { sound: [perform(compose({ seconds: 60, seed: 3 }), kMusic)], asks: true });
  const allow = async (allowed) => {
    await page.page.context().clearPermissions();
    await page.page.context().grantPermissions(allowed ? ["microphone"] : [], { origin: new URL(page.home).origin });
  };
  await allow(false);
  await page.page.locator("#listen").click();
  await in_phase(page, "failed");
  await says(page, "said", /^The browser may not use the microphone\.\s*Allow it/);
  await allow(true);
  await page.page.locator("#listen").click();
  await in_phase(page, "listening");
  check(await page.page.locator("#said").isHidden(), "the refusal is still told");
  await says(page, "heard", /^\d+ seconds$/);
}

async function says_what_is_no_recording(house) {
  const page = await open_tapes(house);
  await choose_file(page, house.file("notes.txt", "no sound at all"));
  await says(page, "said", /notes\.txt is not a recording/);
  await in_phase(page, "idle");
}

async function writes_it_on_the_card(house) {
  const page = await house.open_ready({ width: 390, height: 844 }); // where the card is a page of its own
  await page.page.evaluate(() => {
    localStorage["four76.card"] = "a";
    return new Promise((resolve, reject) => {
      const open = indexedDB.open("four76");
      open.onerror = reject;
      open.onsuccess = () => {
        const put = open.result.transaction("cards", "readwrite");
        put.objectStore("cards").put({ id: "a", name: "Deck", note: "new belt", changed_ms: 1, visits: [] });
        put.oncomplete = resolve;
      };
    });
  });
  await page.page.evaluate((text) => (localStorage["four76.drawer Deck"] = text), drawer_of(kRight, 7, 5));
  await page.page.reload();
  await says(page, "machine-name", "Deck");
  await page.page.waitForFunction(() => localStorage["four76.machine"] === "Deck", undefined, { polling: 100, timeout: 20_000 });
  await page.page.goto(new URL("tapes.html", page.home).href);
  await page.page.locator("#to-card").click();
  await says(page, "card-said", /on the card of Deck/);
  await page.page.locator("#to-card").click(); // the same once more
  await page.page.goto(new URL("#cards", page.home).href);
  await page.page.locator("#cards:modal").waitFor();
  await says(page, "cards-visits", /Only tapes, .*: By 2 tapes: \+0\.\d+.±0\.\d+.% \(as most music is tuned\) Not measured/);
  const [{ note, visits }] = await stored_visits(page, 1);
  same(note, "new belt", "the notes");
  same([visits[0].source, visits[0].stage, visits[0].by_tapes.tapes, visits[0].by_tapes.sounds_like], ["tapes", "between", 2, "right"], "the visit");
  await says(page, "machine-what", /^Machine$/); // nothing was found or left
}

async function works_without_a_server(house) {
  const { page, address } = await house.open_without_server();
  await page.page.goto(`${address}tapes.html`);
  await in_phase(page, "idle");
  await choose_file(page, house.file("tape.wav", house.wav_of([perform(compose({ seconds: 60, seed: 3 }), { ...kMusic, speed: 1.004 })])));
  await kept(page, 1);
}

async function is_told_in_german(house) {
  const page = await open_tapes(house, { drawer: drawer_of(kNotSaid, 50, 48), locale: "de-DE" });
  await until_status(page, "ambiguous");
  none(await english_in(page), "English");
  check(/^[−+]\d,\d/.test(await page.page.locator("#figures [data-value]").first().innerText()), "the decimal mark");
}

async function is_laid_out_well(house) {
  const faults = [];
  for (const look of ["dark", "light"]) {
    for (const [state, drawer] of [["empty", undefined], ["one", drawer_of(kRight, 7, 5, 9)], ["two", drawer_of(kNotSaid, 50)]]) {
      const page = await open_tapes(house, { drawer, look, scale: house.pictures ? 1 : 0.5 });
      if (drawer) await page.page.locator("#figures [data-value]").first().waitFor();
      for (const [width, height] of kSizes) {
        await page.page.setViewportSize({ width, height });
        for (const text of ["100%", "200%"]) {
          await page.page.evaluate((size) => (document.documentElement.style.fontSize = size), text);
          await page.page.waitForTimeout(150); // the picture is drawn anew
          if (house.pictures) {
            mkdirSync(kShots, { recursive: true });
            await page.page.screenshot({ path: join(kShots, `tapes-${state}-${look}-${width}x${height}-${text.slice(0, 3)}.png`), fullPage: true });
          }
          faults.push(...(await page.page.evaluate(layout_faults)).map((fault) => `${state}, ${look}, ${width}x${height}, ${text}: ${fault}`));
        }
        await page.page.evaluate(() => (document.documentElement.style.fontSize = ""));
      }
      faults.push(...(await faults_now(page, `${state}, ${look}`)));
    }
  }
  none(faults, "laid out badly");
}

export const tests = [
  ["tapes: a link in the menu leads to the page, and back", opens_from_the_menu],
  ["tapes: it listens, shows, keeps; the drawer survives a reload", listens_and_keeps],
  ["tapes: what was heard is kept when the next tape begins", keeps_the_last_when_the_next_begins],
  ["tapes: two speeds stand side by side until somebody says how it sounds", two_speeds_are_equals],
  ["tapes: several vote, and go by the tuning that is chosen", tapes_vote],
  ["tapes: each machine has a drawer of its own", machines_are_apart],
  ["tapes: a damaged drawer is set aside and told", sets_a_damaged_drawer_aside],
  ["tapes: a refused microphone is told with what to do, and goes on", goes_on_after_a_refusal],
  ["tapes: what is no recording is told", says_what_is_no_recording],
  ["tapes: the result goes on the card of the machine at hand", writes_it_on_the_card],
  ["tapes: the page works without a server", works_without_a_server],
  ["tapes: the page is told in German", is_told_in_german],
  ["tapes: laid out well, dark and light, at twice the text, and for axe", is_laid_out_well],
];
