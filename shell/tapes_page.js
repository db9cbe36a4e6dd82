// Only tapes: the page for whoever has neither a speed tape nor the song as a file. It takes sound from the microphone or
// from files, hands it to its own small program in a Worker (tapes_worker.js), and keeps the drawer of each machine.
/** @import {Act, AnyTapes, CaptureFault, Interruption, TapesAsk, TapesNews} from "./types" */
import { Awake } from "./awake.js";
import { Capture } from "./capture.js";
import { $, $button, $form, $input, $select, hit, set_text } from "./dom.js";
import { error_of } from "./errors.js";
import { follow_look } from "./look.js";
import { Offline } from "./offline.js";
import { kFaults } from "./program.js";
import { keep, kept } from "./settings_store.js";
import { TapesCard } from "./tapes_card.js";
import { read_recording } from "./tapes_files.js";
import { TapesShow } from "./tapes_show.js";
import { catalogue, tr } from "./words.js";

const kWide = { width: 640, height: 360 }, kNarrow = { width: 360, height: 300 };
const kWideFromPx = 560;

const worker = new Worker("tapes_worker.js");
const awake = new Awake(() => {});
const card = new TapesCard();
/** @param {TapesAsk} asked @param {Transferable[]} [handed_over] */
const ask = (asked, handed_over = []) => worker.postMessage(asked, handed_over);
const show = new TapesShow((index) => ask({ act: "drop", index }));
const listen = $button("listen"), stop = $button("stop"), name = $input("tape-name"), machine = $input("machine");

/** @type {AnyTapes | undefined} */
let shown;
/** @type {(() => void) | undefined} */
let when_heard;

/** @typedef {"loading" | "idle" | "asking" | "listening" | "file" | "failed"} At */
/** @param {At} phase */
function go(phase) {
  $("any-tapes").dataset.phase = phase;
  const runs = phase === "listening" || phase === "asking";
  listen.hidden = runs;
  stop.hidden = !runs;
  listen.disabled = $button("open").disabled = phase === "loading" || phase === "file";
  capture.phase = phase === "failed" ? "failed" : "idle";
  awake.keep(phase === "listening");
  say_heard();
}
const phase = () => $("any-tapes").dataset.phase;

function say_heard() {
  const said = {
    loading: tr("Loading…"), asking: tr("Waiting for the browser's permission"), listening: tr("Listening…"),
  }[phase() ?? ""] ?? "";
  set_text($("heard"), phase() === "listening" && shown?.heard ? shown.heard : said || (shown?.heard ?? ""));
}
/** @param {string} what @param {string} todo */
function say(what, todo = "") {
  $("said").hidden = what === "";
  set_text($("said-what"), what);
  set_text($("said-todo"), todo);
}

// ---- The drawer of a machine -----------------------------------------------------------------------------------------
const drawer_key = () => `drawer ${machine.value.trim()}`;
function restore() {
  keep("machine", machine.value.trim()); // the instrument's too
  ask({ act: "restore", drawer: kept(drawer_key()) ?? "" });
}
const next_name = () => tr("Tape {0}", (shown?.tapes.length ?? 0) + 1);
function keep_present() {
  ask({ act: "keep", name: name.value.trim() || next_name() });
  name.value = "";
}

// ---- Sound -----------------------------------------------------------------------------------------------------------
const capture = new Capture({
  /** @param {{rate_hz: number, channels: number}} info */
  capture_started({ rate_hz, channels }) {
    ask({ act: "open", rate_hz, channels });
    go("listening");
    capture.list_devices();
  },
  /** @param {CaptureFault} fault */
  capture_failed(fault) {
    go("failed");
    ask({
      act: "failed", fault: kFaults.indexOf(fault), platform: navigator.userAgentData?.platform ?? "",
      agent: navigator.userAgent, touch_points: navigator.maxTouchPoints,
    });
  },
  /** @param {Interruption} what */
  interrupted(what) {
    const at = ["device_ended", "muted", "suspended"].indexOf(what);
    if (phase() !== "listening") return;
    if (at === 0) go("idle");
    if (at < 0) say("");
    else ask({ act: "interrupted", what: at });
  },
  /** @param {{id: string, label: string}[]} devices */
  devices_listed(devices) {
    const select = $select("device"), { value } = select;
    select.replaceChildren(select.options[0], ...devices.map(({ id, label }) => new Option(label, id)));
    select.value = devices.some(({ id }) => id === value) ? value : "";
  },
  /** @param {Float32Array<ArrayBuffer>} samples */
  samples: (samples) => ask({ act: "sound", samples }, [samples.buffer]),
  button: (/** @type {Act} */ _) => begin(), // the permission that came late
});

function begin() {
  if (shown?.can_keep) keep_present();
  say("");
  capture.prime(); // within the tap
  go("asking");
  capture.start($select("device").value);
}
function end() {
  capture.stop();
  go("idle");
  ask({ act: "heard" });
}

// Each file is a tape of its own, under its name.
/** @param {Iterable<File>} files */
async function measure(files) {
  if (phase() === "loading" || phase() === "file") return;
  if (phase() !== "idle") end();
  if (shown?.can_keep) keep_present();
  say("");
  go("file");
  for (const file of files) {
    set_text($("heard"), file.name);
    try {
      await read_recording(file, {
        open: (of) => ask({ act: "open", ...of }),
        sound: (samples) => ask({ act: "sound", samples }, [samples.buffer]),
        taken() {
          ask({ act: "heard" });
          return new Promise((resolve) => (when_heard = resolve));
        },
      });
    } catch (thrown) {
      say(error_of(thrown).message);
      continue;
    }
    if (shown?.can_keep) ask({ act: "keep", name: file.name.replace(/\.[^.]*$/, "") });
  }
  go("idle");
}

// ---- What the program tells ------------------------------------------------------------------------------------------
async function show_card() {
  const there = kept("card") && shown?.visit && (await card.at_hand()) !== undefined;
  $("to-card").hidden = !there || !shown?.visit;
}
/** @param {AnyTapes} told */
function take(told) {
  shown = told;
  if (phase() === "loading") go("idle");
  show.show(told);
  say_heard();
  $("keep-form").hidden = !told.can_keep || phase() === "file";
  name.placeholder = next_name();
  show_card();
}
worker.onmessage = (/** @type {MessageEvent<TapesNews>} */ { data }) => {
  if (data.shown) take(data.shown);
  if (data.picture !== undefined) show.show_picture(shown?.status === "none" ? "" : data.picture);
  if (data.drawer !== undefined && !keep(drawer_key(), data.drawer)) {
    say(tr("This browser keeps nothing for this page (a private window?), so that it holds until the page is closed."));
  }
  if (data.damaged !== undefined) {
    keep(`${drawer_key()} aside`, data.damaged);
    say(tr("What was kept here of tapes' results is damaged and was set aside. Keep them again."));
  }
  if (data.advice) say(data.advice.what, data.advice.todo);
  if (data.heard) when_heard?.();
  if (data.broke !== undefined) broken();
};
function broken() {
  capture.stop();
  go("loading");
  set_text($("heard"), "");
  say(tr("The measuring program could not be loaded. Check the network, then load the page again."));
}
worker.onerror = broken;

// ---- What the person does --------------------------------------------------------------------------------------------
addEventListener("submit", (event) => event.preventDefault()); // the page sends no forms
listen.addEventListener("click", begin);
stop.addEventListener("click", end);
$form("keep-form").addEventListener("submit", () => {
  if (phase() === "listening") end();
  keep_present();
});
$("sounds").addEventListener("click", (event) => {
  const like = Number(hit(event, "[data-sounds]", HTMLElement)?.dataset.sounds ?? 0);
  if (like) ask({ act: "sounds", like: like === shown?.sounds_like ? 0 : like });
});
$select("tuning").addEventListener("change", () => ask({ act: "tuning", concert_a_hz: Number($select("tuning").value) }));
machine.addEventListener("change", restore);
$button("to-card").addEventListener("click", async () => {
  if (shown?.visit) set_text($("card-said"), await card.write(shown.visit));
});
const input = $input("file-input");
$button("open").addEventListener("click", () => input.click());
input.addEventListener("change", async () => {
  await measure([...(input.files ?? [])]);
  input.value = ""; // the same file can be chosen again
});
document.addEventListener("dragover", (event) => event.preventDefault());
document.addEventListener("drop", (event) => {
  event.preventDefault();
  measure([...(event.dataTransfer?.files ?? [])]);
});

const narrow = matchMedia(`(max-width: ${kWideFromPx}px)`);
const size_picture = () => ask({ act: "size", ...(narrow.matches ? kNarrow : kWide) });
addEventListener("resize", size_picture);

follow_look(() => {});
go("loading");
machine.value = kept("machine") ?? "";
ask({ act: "begin", catalogue, tolerance_percent: Number(kept("tolerance")) || 0.5 });
size_picture();
restore();
new Offline(() => {}).start();
