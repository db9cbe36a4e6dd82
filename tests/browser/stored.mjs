// What lies in the browser's storage: a card to be kept, and all cards as the page's database has them.
import { Failed } from "./check.mjs";
import { tone } from "./sound.mjs";

// A recording's reading is kept at once: the quick way to a visit on a card.
export async function keep_a_visit(house, page, hz = 3012, act = "act-as-found", said = /It is on the card/) {
  const name = `deck ${hz}.wav`;
  await page.open_file(house.file(name, house.wav_of([tone({ hz, seconds: 6, carrier_to_noise_dbhz: 70 })])));
  await page.until("that file to be shown", (told) => told.phase === "file_shown" && told.status_line.includes(name));
  await page.press(act);
  await page.message(said);
}

// The page says so before the database has it.
export async function stored_visits(page, count) {
  const end = Date.now() + 20_000;
  let cards;
  do {
    cards = await stored_cards(page);
    if (cards.flatMap(({ visits }) => visits).length === count) return cards;
    await page.page.waitForTimeout(50);
  } while (Date.now() < end);
  throw new Failed(`${count} visits instead of ${JSON.stringify(cards).slice(0, 400)}`);
}

export async function stored_cards(page) {
  return (await stored_records(page)).cards;
}

// All that the database holds: {cards, tapes, aside}.
export function stored_records(page) {
  return page.page.evaluate(() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("four76");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const transaction = opening.result.transaction(["cards", "tapes", "aside"]);
      const asked = ["cards", "tapes", "aside"].map((store) => [store, transaction.objectStore(store).getAll()]);
      transaction.onerror = () => reject(transaction.error);
      transaction.oncomplete = () => {
        opening.result.close();
        resolve(Object.fromEntries(asked.map(([store, { result }]) => [store, result])));
      };
    };
  }));
}
export async function stored(page, what, test) {
  const end = Date.now() + 20_000;
  let records;
  do {
    records = await stored_records(page);
    if (test(records)) return records;
    await page.page.waitForTimeout(50);
  } while (Date.now() < end);
  throw new Failed(`waited in vain for ${what}: ${JSON.stringify(records).slice(0, 400)}`);
}

// Puts records there as something else may have left them: {cards, tapes}.
export function put_records(page, records) {
  return page.page.evaluate((all) => new Promise((resolve, reject) => {
    const opening = indexedDB.open("four76");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const transaction = opening.result.transaction(Object.keys(all), "readwrite");
      for (const [store, each] of Object.entries(all)) for (const record of each) transaction.objectStore(store).put(record);
      transaction.onerror = () => reject(transaction.error);
      transaction.oncomplete = () => {
        opening.result.close();
        resolve();
      };
    };
  }), records);
}

export async function downloaded(page, press) {
  const waiting = page.page.waitForEvent("download");
  await press();
  const download = await waiting;
  return { name: download.suggestedFilename(), path: await download.path() };
}
