// The page in other languages: as the browser asks for it, chosen by hand, without a network; all of it, and laid out well.
import { check, near, none, number, same } from "../check.mjs";
import { tone } from "../sound.mjs";
import { keep_a_visit } from "../stored.mjs";
import { looks_right } from "./sizes.mjs";

const kWow = [[7.6, 0.06], [1.3, 0.08], [0.5, 0.1]];
// Words that each language has in every other sentence, and no other one has.
const kTells = {
  en: /\b(?:the|with|which|your|tape)\b/i,
  de: /\b(?:der|und|nicht|Gerät|Kassette)\b/,
  es: /\b(?:los|con|que|máquina|cinta)\b/,
};

// All that the page would show or say, dialogs that are closed too; what is to be typed or is a name is left out.
const texts_of = (page) => page.page.evaluate(() => {
  const texts = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    if (node.data.trim() !== "" && !node.parentElement.closest("script, noscript, [lang]:not(html)")) texts.push(node.data.trim());
  }
  for (const element of document.querySelectorAll("[aria-label], [title]")) texts.push(element.getAttribute("aria-label") ?? element.title);
  return texts;
});

export async function english_in(page) {
  return (await texts_of(page)).filter((text) => kTells.en.test(text));
}

const speaks = (page) => page.page.evaluate(() => document.documentElement.lang);
const choose_language = async (page, code) => {
  const loaded = page.page.waitForEvent("load");
  await page.page.evaluate((chosen) => {
    const choice = document.getElementById("language");
    choice.value = chosen;
    choice.dispatchEvent(new Event("change"));
  }, code);
  await loaded;
  await page.page.waitForFunction(() => document.getElementById("control-tone").options.length > 1);
};

async function as_the_browser_asks(house) {
  const browser = await house.browser({ sound: [tone({ hz: 3036, seconds: 30, wow: kWow })] });
  for (const [locale, code] of [["de-AT", "de"], ["es-MX", "es"], ["fr-FR", "en"]]) {
    const page = await house.open_ready({ browser, locale });
    same(await speaks(page), code, `the language of ${locale}`);
    check((await texts_of(page)).filter((text) => kTells[code].test(text)).length > 50, `the page does not speak ${code}`);
    if (code !== "en") none(await english_in(page), `English for ${locale}`);
    await page.listen();
    await page.measured();
    const told = await page.until("the words of a reading", (now) => /\d/.test(now.words.speed_error_percent));
    near(number(told.reading.speed_error_percent), 1.2, 0.3, "speed error, for programs");
    const mark = code === "en" ? "." : ",";
    check(told.words.speed_error_percent.includes(mark), `"${told.words.speed_error_percent}" has another decimal mark than "${mark}"`);
    if (code !== "en") none(await english_in(page), `English for ${locale} while listening`);
  }
}

async function chosen_by_hand(house) {
  const page = await house.open_ready({ locale: "en-GB" });
  await page.choose("tone", "3150");
  await page.frame(); // with which the page keeps it
  await choose_language(page, "es");
  same(await speaks(page), "es", "the language that was chosen");
  same(await page.page.locator("#control-tone").inputValue(), "3150", "the tone that was chosen before");
  await page.page.reload();
  await page.page.waitForFunction(() => document.getElementById("control-tone").options.length > 1);
  same(await speaks(page), "es", "the language after loading again");
  await choose_language(page, "en");
  same(await speaks(page), "en", "the language that was chosen back");
  none((await texts_of(page)).filter((text) => kTells.es.test(text) && !kTells.en.test(text)), "Spanish left");
}

async function without_a_network(house) {
  const server = await house.serve();
  const page = await house.open_ready({ address: server.address, locale: "de-DE", expect_errors: true });
  const has_all = () =>
    page.page.evaluate(async () => {
      const names = await caches.keys();
      const kept = await Promise.all(names.map(async (name) => (await (await caches.open(name)).keys()).map(({ url }) => url)));
      const has = (name) => kept.flat().some((url) => url.endsWith(name));
      return navigator.serviceWorker.controller?.state === "activated" && has("words/de.txt") && has("four76.wasm");
    });
  const end = Date.now() + 60_000;
  while (!(await has_all())) {
    check(Date.now() < end, "the page is not kept within a minute");
    await page.page.waitForTimeout(200);
  }
  await server.stop();
  await page.page.reload();
  await page.page.waitForFunction(() => document.getElementById("control-tone").options.length > 1);
  same(await speaks(page), "de", "the language without a network");
}

async function guide_is_told(house) {
  const page = await house.open_ready({ locale: "de-DE" });
  await page.open_panel("guide");
  await page.page.waitForFunction(() => /Vorbereit/.test(document.getElementById("guide-step").textContent));
  none(await english_in(page), "English in the guide's dialog");
  await page.page.goto(new URL("guide.html", page.home).href);
  await page.page.waitForFunction(() => document.documentElement.lang === "de");
  none(await english_in(page), "English in the guide's page");
}

const laid_out = (locale) => async (house) => {
  const sound = [tone({ hz: 3057, wow: kWow, carrier_to_noise_dbhz: 62 })];
  await looks_right(house, `${locale}-start`, { locale }, async () => {}, { at_every_size: false });
  await looks_right(house, `${locale}-listening`, { sound, locale }, async (page) => {
    await page.listen();
    await page.measured();
  }, { at_every_size: false });
};

// Mains, capacitors, the plug, who is qualified, the service manual, local rules: in the panels that send somebody to the
// machine, on the report and in the guide's step that adjusts, in the same words.
async function cautions_stand(house) {
  const kParts = {
    en: ["Mains voltage can kill", "capacitors", "Unplug", "licensed or qualified", "service manual", "local electrical codes"],
    de: ["Netzspannung kann töten", "Kondensatoren", "Netzstecker", "Elektrofachkraft", "Serviceanleitung", "örtliche Vorschriften"],
    es: ["puede matar", "condensadores", "Desenchufa", "autorizado o cualificado", "manual de servicio", "normas eléctricas locales"],
  };
  for (const [locale, code] of [["en-GB", "en"], ["de-DE", "de"], ["es-ES", "es"]]) {
    const page = await house.open_ready({ locale });
    await keep_a_visit(house, page, 3012, "act-as-found", /./);
    await page.open_panel("cards");
    await page.page.waitForFunction(() => document.querySelector("#cards-visits details"), undefined, { polling: 50 });
    await page.page.evaluate(() => document.getElementById("cards-report").click());
    await page.page.waitForFunction(() => document.querySelector("#report-sheet .caution"), undefined, { polling: 50 });
    await page.open_panel("guide");
    await page.page.waitForFunction(() => document.getElementById("guide-choice").options.length === 8, undefined, { polling: 50 });
    await page.page.locator("#guide-choice").selectOption("5");
    const texts = await page.page.evaluate(() => Object.fromEntries([
      ...["causes", "coach", "parts", "trouble", "watch", "cards", "help"].map((id) => [id, document.querySelector(`#${id} [data-caution]`)?.textContent]),
      ["report", document.querySelector("#report-sheet .caution").textContent],
      ["guide", document.querySelector("#guide-step .danger").textContent.replace(/\s+/g, " ")],
      ["welcome", document.querySelector("#welcome .danger span").textContent.replace(/\s+/g, " ")],
    ]));
    for (const [place, text] of Object.entries(texts)) {
      none(kParts[code].filter((part) => !text?.includes(part)), `missing in ${place}, ${code}`);
      same(text, texts.causes, `the caution of ${place}, ${code}`);
    }
  }
}

export const tests = [
  ["words: the cautions stand wherever somebody is sent to the machine, in every language", cautions_stand],
  ["the page speaks the browser's language, and all of it", as_the_browser_asks],
  ["another language can be chosen and is kept", chosen_by_hand],
  ["the chosen language is there without a network", without_a_network],
  ["the guide is told in the chosen language", guide_is_told],
  ["laid out well in German", laid_out("de-DE")],
  ["laid out well in Spanish", laid_out("es-ES")],
];
