// What goes wrong in hours of listening, one by one while a card is in storage: the page recovers or says what to do,
// and the card is as it was. Hours of it, faster than real time, are tests/endurance. Of a device that goes away, a muted
// track and a suspended context permission.mjs tells more, of a full device cards.mjs, of the drawing drawing.mjs.
import { check, near, none, number, same } from "../check.mjs";
import { tone } from "../sound.mjs";
import { keep_a_visit, stored_cards, stored_visits } from "../stored.mjs";

// What a test needs of the page's inside: its stream, its context, and a hand on its clock and on whether it is hidden.
function leave_handles(context) {
  return context.addInitScript(() => {
    if (!isSecureContext) return; // the blank page before the first address
    const handles = (globalThis.handles = { ahead_ms: 0, hidden: false });
    const ask = MediaDevices.prototype.getUserMedia;
    MediaDevices.prototype.getUserMedia = async function (wish) {
      return (handles.stream = await ask.call(this, wish));
    };
    const Context = AudioContext;
    globalThis.AudioContext = class extends Context {
      constructor(...rest) {
        super(...rest);
        handles.context = this;
      }
    };
    const now = Performance.prototype.now, date_now = Date.now;
    Performance.prototype.now = function () {
      return now.call(this) + handles.ahead_ms;
    };
    Date.now = () => date_now() + handles.ahead_ms;
    Object.defineProperty(Document.prototype, "visibilityState", { get: () => (handles.hidden ? "hidden" : "visible") });
    Object.defineProperty(Document.prototype, "hidden", { get: () => handles.hidden });
  });
}

const hide = (page, hidden) =>
  page.page.evaluate((now) => {
    handles.hidden = now;
    document.dispatchEvent(new Event("visibilitychange"));
  }, hidden);
const jump = (page, ms) => page.page.evaluate((by) => (handles.ahead_ms += by), ms);
const tell_track = (page, name) => page.page.evaluate((event) => handles.stream.getAudioTracks()[0].dispatchEvent(new Event(event)), name);
const canvas_context = () => document.getElementById("instrument").getContext("webgl2");

const says = (page, pattern) => page.message(pattern);
const says_no_more = (page, pattern) => page.until(`no more ${pattern}`, (now) => !now.messages.some((message) => pattern.test(message)));

const kFaults = {
  "the context is suspended, and wakes by a tap": async (page) => {
    await page.page.evaluate(() => handles.context.suspend());
    await says(page, /paused the sound/);
    await page.page.mouse.click(300, 300);
    await says_no_more(page, /paused the sound/);
  },
  "the track is muted": async (page) => {
    await tell_track(page, "mute");
    await says(page, /muted the microphone/);
    await tell_track(page, "unmute");
    await says_no_more(page, /muted the microphone/);
  },
  "the page is hidden": async (page) => {
    await hide(page, true);
    const told = await says(page, /in the background/);
    check(told.reading.status !== "measured", "an old number is called measured");
    await hide(page, false);
    await says_no_more(page, /in the background/);
  },
  "the clock is set back an hour": async (page) => {
    await jump(page, -3_600_000);
    const { rows } = await page.watch_readings(1500);
    check(rows.length >= 3, `${rows.length} readings in 1.5 s after the clock was set back`);
  },
  "the clock jumps ahead eight hours": (page) => jump(page, 8 * 3_600_000),
  "the drawing's context is lost": async (page) => {
    await page.page.evaluate(`(globalThis.loss = (${canvas_context})().getExtension("WEBGL_lose_context")).loseContext()`);
    await says(page, /drawing was lost, and measuring goes on/);
    await page.measured();
    await page.page.evaluate(() => globalThis.loss.restoreContext());
    await says_no_more(page, /drawing was lost/);
  },
  "settings cannot be kept": async (page) => {
    await page.page.evaluate(() => {
      Storage.prototype.setItem = () => {
        throw new DOMException("full", "QuotaExceededError");
      };
    });
    await page.choose("unit", "cents");
    await page.page.waitForFunction(() => document.getElementById("control-unit").value === "cents", undefined, { polling: 50 });
  },
  "the device goes away, and comes back": async (page) => {
    await tell_track(page, "ended");
    await page.failed(/^The microphone went away\./, /when it is back/);
    await page.press_in_messages("Listen again");
  },
};

async function goes_through_every_fault(house) {
  const page = await house.open_ready({ sound: [tone({ hz: 3015, seconds: 4 })], before: leave_handles });
  await keep_a_visit(house, page);
  const cards = await stored_visits(page, 1);
  await page.listen();
  await page.page.evaluate(() => (globalThis.unreloaded = true));
  for (const [what, fault] of Object.entries(kFaults)) {
    await page.measured();
    try {
      await fault(page);
      const told = await page.measured();
      near(number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");
      none(told.messages.filter((message) => message.startsWith("fault")), "messages");
    } catch (error) {
      error.message = `${what}: ${error.message}`;
      throw error;
    }
  }
  check(await page.page.evaluate(() => globalThis.unreloaded === true), "the page was loaded again");
  same(await stored_cards(page), cards, "the card after all that");
}

// The write itself is refused, as a browser does that runs out of room between the request and the end of it.
async function keeps_the_card_when_a_write_is_refused(house) {
  const page = await house.open_ready();
  await keep_a_visit(house, page);
  const cards = await stored_visits(page, 1);
  await page.page.evaluate(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (...what) {
      const asked = put.apply(this, what);
      this.transaction.abort(); // as the browser does, after it had said yes
      return asked;
    };
  });
  await page.press("act-as-left");
  await page.message(/keeps nothing for this page|no room left/);
  same(await stored_cards(page), cards, "the card in storage");
  await page.open_panel("cards");
  await page.page.waitForFunction(() => document.querySelectorAll("#cards-visits details").length === 2, undefined, { polling: 50 });
  await page.reload();
  same(await stored_cards(page), cards, "the card after a reload");
}

export const tests = [
  ["endurance: after each fault the page measures again, and the card is as it was", goes_through_every_fault],
  ["endurance: a write that breaks off loses no card, and is said", keeps_the_card_when_a_write_is_refused],
];
