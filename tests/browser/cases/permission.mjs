// The microphone that cannot be had, or goes away: each time words and a way on, never a reload.
import { check, near, none, number, same } from "../check.mjs";
import { tone } from "../sound.mjs";

const kTone = () => [tone({ hz: 3015, seconds: 4 })];

// What a person does in the browser's site settings.
async function set_microphone_permission({ page, home }, allowed) {
  await page.context().clearPermissions();
  await page.context().grantPermissions(allowed ? ["microphone"] : [], { origin: new URL(home).origin });
}

// The page must stay the same one: what was put on its window is still there.
const mark = (page) => page.page.evaluate(() => (globalThis.unreloaded = true));
async function measures_without_reload(page) {
  const told = await page.measured();
  near(number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");
  none(told.messages.filter((message) => message.startsWith("fault")), "messages");
  check(await page.page.evaluate(() => globalThis.unreloaded === true), "the page was loaded again");
}

async function goes_on_after_a_refusal(house) {
  const page = await house.open_ready({ sound: kTone(), asks: true });
  await mark(page);
  await set_microphone_permission(page, false);
  await page.press("act-listen");
  const told = await page.failed(/^The browser may not use the microphone\. Allow it/, /fault: Allow it/);
  same(told.phase, "failed", "phase");
  same(told.reading.status, "no_tone", "status");
  await set_microphone_permission(page, true);
  await page.press_in_messages("Listen again");
  await measures_without_reload(page);
}

async function says_that_there_is_no_device(house) {
  const page = await house.open_ready({ microphone: "none", asks: true, flags: ["--disable-audio-input"] });
  await set_microphone_permission(page, true);
  await page.press("act-listen");
  await page.failed(/^No microphone was found\. Plug one in, or open a recording/);
  await page.press("act-demo"); // other ways still work
  await page.measured();
}

// getUserMedia that answers only when window.answer() is called, or throws window.refusal.
function hold_the_question(context) {
  return context.addInitScript(() => {
    if (!isSecureContext) return; // the blank page before the first address
    const ask = MediaDevices.prototype.getUserMedia;
    MediaDevices.prototype.getUserMedia = async function (wish) {
      if (globalThis.refusal) throw new DOMException("refused by the test", globalThis.refusal);
      if (globalThis.held !== false) await new Promise((resolve) => (globalThis.answer = resolve));
      globalThis.stream = await ask.call(this, wish);
      return globalThis.stream;
    };
    const Context = AudioContext;
    globalThis.AudioContext = class extends Context {
      constructor(...rest) {
        super(...rest);
        globalThis.context = this;
      }
    };
  });
}

async function waits_for_an_answer_that_never_comes(house) {
  const page = await house.open_ready({ sound: kTone(), before: hold_the_question });
  await mark(page);
  await page.press("act-listen");
  const asking = await page.phase("asking");
  same(asking.status_line, "Waiting for the browser's permission", "status line");
  check(await page.page.locator("#act-stop").isVisible(), "asking cannot be stopped");
  await page.failed(/^The browser did not answer\./);
  await page.page.evaluate(() => globalThis.answer()); // a late answer is still taken
  await measures_without_reload(page);
}

async function may_be_stopped_while_asking(house) {
  const page = await house.open_ready({ sound: kTone(), before: hold_the_question });
  await mark(page);
  await page.press("act-listen");
  await page.phase("asking");
  await page.press("act-stop");
  await page.phase("idle");
  await page.page.evaluate(() => globalThis.answer());
  await page.page.waitForFunction(() => globalThis.stream?.getTracks().every((track) => track.readyState === "ended"), undefined, { polling: 100 });
  same((await page.told()).phase, "idle", "phase after a late answer");
  await page.page.evaluate(() => (globalThis.held = false));
  await page.listen();
  await measures_without_reload(page);
}

async function names_every_fault(house) {
  const page = await house.open_ready({ sound: kTone(), before: hold_the_question });
  await mark(page);
  const expected = {
    NotAllowedError: /may not use the microphone/,
    NotFoundError: /No microphone was found/,
    NotReadableError: /The microphone is in use/,
    AbortError: /The microphone is in use/,
    OverconstrainedError: /is not there any more/,
    SecurityError: /only to a secure page/,
    TypeError: /could not be started/,
  };
  for (const [name, words] of Object.entries(expected)) {
    await page.page.evaluate((error) => (globalThis.refusal = error), name);
    await page.press("act-listen");
    await page.failed(words);
    same((await page.told()).reading.speed_error_percent, "", `${name}: speed error`);
  }
  await page.page.evaluate(() => {
    globalThis.refusal = undefined;
    globalThis.held = false;
  });
  await page.press_in_messages("Listen again");
  await measures_without_reload(page);
}

// A page that listens, whose stream and context the test can get at.
async function listening(house) {
  const page = await house.open_ready({
    sound: kTone(),
    before: async (context) => {
      await hold_the_question(context);
      await context.addInitScript(() => (globalThis.held = false));
    },
  });
  await mark(page);
  await page.listen();
  await page.measured();
  return page;
}

async function goes_on_after_the_device_ended(house) {
  const page = await listening(house);
  await page.page.evaluate(() => {
    for (const track of globalThis.stream.getTracks()) track.dispatchEvent(new Event("ended"));
  });
  const told = await page.failed(/^The microphone went away\./);
  same(told.reading.speed_error_percent, "", "speed error");
  await page.press_in_messages("Listen again");
  await measures_without_reload(page);
}

async function calls_no_number_measured_while_suspended(house) {
  const page = await listening(house);
  await page.page.evaluate(() => globalThis.context.suspend());
  await page.message(/warning: The browser has paused the sound\./);
  const { rows } = await page.watch_readings(1500);
  none(rows.filter((row) => row.status === "measured"), "measured while suspended");
  check((await page.told()).reading.status !== "measured", "an old number is called measured");
  await page.page.mouse.click(300, 300); // any tap wakes it
  await page.until("no more warning", (now) => now.messages.length === 0);
  await measures_without_reload(page);
}

async function calls_no_number_measured_while_muted(house) {
  const page = await listening(house);
  const tell = (event) => page.page.evaluate((name) => globalThis.stream.getTracks()[0].dispatchEvent(new Event(name)), event);
  await tell("mute");
  const told = await page.message(/warning: The device has muted the microphone\./);
  check(told.reading.status !== "measured", "a muted number is called measured");
  await tell("unmute");
  await page.until("no more warning", (now) => now.messages.length === 0);
  await measures_without_reload(page);
}

// A headset whose button was pressed before anybody listened: no event tells of it any more.
async function says_that_it_was_muted_before(house) {
  const page = await house.open_ready({
    sound: kTone(),
    before: (context) => context.addInitScript(() => Object.defineProperty(MediaStreamTrack.prototype, "muted", { get: () => true })),
  });
  await page.press("act-listen");
  const told = await page.message(/warning: The device has muted the microphone\./);
  check(told.reading.status !== "measured", "a muted number is called measured");
}

// What could not be loaded is no fault of the microphone's.
async function does_not_blame_the_microphone(house) {
  const page = await house.open_ready({
    sound: kTone(),
    before: (context) => context.addInitScript(() => {
      if (!isSecureContext) return; // the blank page before the first address
      const add = AudioWorklet.prototype.addModule;
      AudioWorklet.prototype.addModule = function (address) {
        return globalThis.mended ? add.call(this, address) : Promise.reject(new DOMException("Unable to load a worklet's module.", "AbortError"));
      };
    }),
  });
  await mark(page);
  await page.press("act-listen");
  await page.failed(/could not be started/);
  await page.page.evaluate(() => (globalThis.mended = true));
  await page.press_in_messages("Listen again");
  await measures_without_reload(page);
}

async function says_what_the_browser_says_of_processing(house) {
  const page = await house.open_ready({
    sound: kTone(),
    before: (context) =>
      context.addInitScript(() => {
        const settings = MediaStreamTrack.prototype.getSettings;
        MediaStreamTrack.prototype.getSettings = function () {
          const { echoCancellation: _, ...rest } = settings.call(this);
          return { ...rest, noiseSuppression: true };
        };
      }),
  });
  await page.listen();
  const told = await page.message(/warning: This browser or device keeps changing the sound/);
  check(/echo cancellation unknown, noise suppression ON, gain control off/.test(told.processing), told.processing);
}

export const tests = [
  ["after a refusal the microphone can be allowed without a reload", goes_on_after_a_refusal],
  ["a computer without a microphone is told so, and the demo works", says_that_there_is_no_device],
  ["a question that is never answered is given up, and a late answer taken", waits_for_an_answer_that_never_comes],
  ["asking can be stopped, and a late answer is let go", may_be_stopped_while_asking],
  ["every fault of the browser has words and a way on", names_every_fault],
  ["a device that went away can come back", goes_on_after_the_device_ended],
  ["a suspended context is said, and a tap wakes it", calls_no_number_measured_while_suspended],
  ["a muted microphone is said, and its number not called measured", calls_no_number_measured_while_muted],
  ["a microphone that was muted before is said too", says_that_it_was_muted_before],
  ["a part of the page that does not load is no microphone in use", does_not_blame_the_microphone],
  ["processing that the browser reports is said", says_what_the_browser_says_of_processing],
];
