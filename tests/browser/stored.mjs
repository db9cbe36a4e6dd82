// What lies in the browser's storage: a card to be kept, and all cards as the page's database has them.
import { Failed } from "./check.mjs";
import { tone } from "./sound.mjs";

// A recording's reading is kept at once: the quick way to a visit on a card.
export async function keep_a_visit(house, page, hz = 3012, act = "act-as-found") {
  await page.open_file(house.file(`deck ${hz}.wav`, house.wav_of([tone({ hz, seconds: 6, carrier_to_noise_dbhz: 70 })])));
  await page.phase("file_shown");
  await page.press(act);
  await page.message(/It is on the card/);
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

export function stored_cards(page) {
  return page.page.evaluate(() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("four76");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const asked = opening.result.transaction("cards").objectStore("cards").getAll();
      asked.onerror = () => reject(asked.error);
      asked.onsuccess = () => {
        opening.result.close();
        resolve(asked.result);
      };
    };
  }));
}
