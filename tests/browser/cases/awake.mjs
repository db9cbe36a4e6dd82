// The screen: it is kept on while somebody measures, let go of afterwards, and where it cannot be kept on that is said.
import { check, same } from "../check.mjs";
import { tone } from "../sound.mjs";

const kSound = () => [tone({ hz: 3009, seconds: 10 })];
const kDark = /the screen may go dark/;

// Locks that are given a while after they were asked for, as a browser does it.
function count_locks(context) {
  return context.addInitScript(() => {
    globalThis.locks = [];
    globalThis.refuses = false;
    if (!isSecureContext) return; // the blank page before the first address
    WakeLock.prototype.request = async () => {
      await new Promise((resolve) => setTimeout(resolve, 100));
      if (globalThis.refuses) throw new DOMException("power is low", "NotAllowedError");
      const lock = Object.assign(new EventTarget(), { released: false });
      lock.release = async () => void (lock.released = true);
      globalThis.locks.push(lock);
      return lock;
    };
  });
}
const held = (page) => page.page.evaluate(() => globalThis.locks.filter(({ released }) => !released).length);
const holds_one = (page) => page.until("the screen to be kept on", async () => (await held(page)) === 1, 10_000);

async function lets_go_of_the_screen(house) {
  const page = await house.open_ready({ sound: kSound(), before: count_locks });
  await page.listen();
  await holds_one(page);
  await page.page.evaluate(() => {
    for (const lock of globalThis.locks) lock.released = true; // as the browser does while the page is hidden
    for (const seen of ["hidden", "visible"]) {
      Object.defineProperty(document, "visibilityState", { configurable: true, value: seen });
      document.dispatchEvent(new Event("visibilitychange"));
    }
  });
  await page.page.waitForTimeout(1000);
  same(await held(page), 1, "locks after the page was hidden");
  await page.press("act-stop");
  await page.phase("held");
  await page.page.waitForTimeout(500);
  same(await held(page), 0, "locks that nobody lets go of");
}

async function says_that_it_may_go_dark(house) {
  const page = await house.open_ready({ sound: kSound(), before: count_locks });
  await page.listen();
  await page.measured();
  check(!kDark.test((await page.told()).status_line), "it is said although the screen is kept on");
  await page.press("act-stop");
  await page.phase("held");
  await page.page.evaluate(() => (globalThis.refuses = true));
  await page.listen();
  const told = await page.until("that the screen may go dark", (now) => kDark.test(now.status_line));
  same(told.messages, [], "messages: it is said quietly");
  await page.page.evaluate(() => (globalThis.refuses = false));
  await page.press("act-stop");
  check(!kDark.test((await page.until("it to stop", (told) => told.phase !== "listening")).status_line), "it is said although nothing is measured");
  await page.listen();
  await page.until("the screen to be kept on again", (now) => !kDark.test(now.status_line) && now.reading.status === "measured");
  await holds_one(page);
  await page.page.evaluate(() => { // as a browser does to save the battery
    const lock = globalThis.locks.at(-1);
    lock.released = true;
    lock.dispatchEvent(new Event("release"));
  });
  await page.until("that the screen may go dark now", (now) => kDark.test(now.status_line));
}

export const tests = [
  ["awake: the screen is kept on by one lock, and let go of", lets_go_of_the_screen],
  ["awake: a screen that cannot be kept on is said quietly, where the page says that it listens", says_that_it_may_go_dark],
];
