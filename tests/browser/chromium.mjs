// Chromium with a WAV on its microphone, and a watch over everything that a page asks for or complains of.
import { existsSync } from "node:fs";
import { chromium } from "playwright-core";

// Chromium as a person has it, and without its windows, which opens a page at half the cost.
const there = (...paths) => paths.find((path) => path && existsSync(path));
const kWhole = there(process.env.FOUR76_CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome");
const kWindowless = there(process.env.FOUR76_CHROMIUM, "/usr/bin/chromium-headless-shell") ?? kWhole;

// No name but this computer's own is ever found: the page must not need any.
const kFlags = [
  "--no-sandbox",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE localhost , EXCLUDE 127.0.0.1",
  "--autoplay-policy=user-gesture-required",
];

// A computer without a graphics processor: what is drawn is copied about by the page's own thread. With `graphics` a process
// of its own composes the picture, as on a phone, though in software.
const kGraphics = { false: ["--disable-gpu"], true: ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"] };

// microphone: a WAV file; "none" for a computer without one; "system" for what the system has. asks: the browser decides
// by its permissions, as for a person; otherwise it says yes to every question. whole:
// Chromium as a person has it; without windows it knows no questions.
export function launch({ microphone, asks = false, graphics = false, whole = asks, flags = [], env } = {}) {
  const executablePath = whole ? kWhole : kWindowless;
  if (!executablePath) throw new Error("there is no Chromium: apt-get install chromium, or name one in FOUR76_CHROMIUM");
  const args = [...kFlags, ...kGraphics[graphics], ...flags];
  const real = microphone === "none" || microphone === "system";
  if (!real) args.push("--use-fake-device-for-media-stream");
  if (microphone && !real) args.push(`--use-file-for-fake-audio-capture=${microphone}`);
  if (!asks) args.push("--use-fake-ui-for-media-stream");
  return chromium.launch({ executablePath, args, headless: true, env, handleSIGTERM: false });
}

// Everything that pages asked for, and every complaint, over the whole run.
export const watched = { requests: 0, outside: [], violations: [], errors: [] };

export async function watch(context, origin, expect_errors) {
  await context.addInitScript(() => {
    addEventListener("securitypolicyviolation", (event) => console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`));
  });
  context.on("request", (request) => {
    watched.requests += 1;
    const url = request.url();
    if (!url.startsWith(`${origin}/`) && !/^(data|blob):/.test(url)) watched.outside.push(url);
  });
  context.on("console", (message) => {
    const text = message.text();
    if (/^policy: |Content[- ]Security[- ]Policy|violates/i.test(text)) watched.violations.push(text);
    else if (message.type() === "error" && !expect_errors) watched.errors.push(text);
  });
  context.on("weberror", (error) => {
    if (!expect_errors) watched.errors.push(String(error.error()));
  });
}
