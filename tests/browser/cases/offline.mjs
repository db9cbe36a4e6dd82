// Once visited, the page needs no network; a newer version waits until it is taken.
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { check, near, same } from "../check.mjs";
import { tone } from "../sound.mjs";

const kBase = "/bench/speed/four76/";

async function kept_offline(page) {
  await page.page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    if (!navigator.serviceWorker.controller) {
      await new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }));
    }
  });
}

async function works_without_a_server(house) {
  const server = await house.serve(house.site, kBase);
  check(server.address.endsWith(kBase), `served on ${server.address}`);
  const page = await house.open_ready({ address: server.address, sound: [tone({ hz: 3015, seconds: 4 })] });
  await kept_offline(page);
  await server.stop();

  await page.page.goto(`${server.address}?from=shortcut#v1.tone=3000`);
  await page.listen();
  const told = await page.measured();
  near(Number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");
  await page.press("act-stop");
  await page.open_file(house.file("tone.wav", house.wav_of([tone({ hz: 2985, seconds: 3 })])));
  const file = await page.phase("file_shown"); // the Worker's files are kept too
  near(Number(file.reading.speed_error_percent), -0.5, 0.01, "speed error of the file");
  await page.page.goto(`${server.address}notices.html`);
  check((await page.page.locator("body").innerText()).includes("Dear ImGui"), "the notices are not kept");
}

async function offers_a_newer_version(house) {
  const folder = join(house.folder, "site");
  cpSync(house.site, folder, { recursive: true });
  const server = await house.serve(folder);
  const page = await house.open_ready({ address: server.address });
  await kept_offline(page);
  // A newer version: another name in the title, and so another version of the service worker.
  const change = (name, from, to) => {
    const text = readFileSync(join(folder, name), "utf8");
    check(text.includes(from), `${name} does not hold ${from}`);
    writeFileSync(join(folder, name), text.replace(from, to));
  };
  change("index.html", "<title>Four76:", "<title>Newer Four76:");
  change("service_worker.js", 'const kVersion = "', 'const kVersion = "newer-');

  await page.page.reload();
  await page.message(/A newer version is ready/);
  check(!(await page.page.title()).startsWith("Newer"), "the newer version came by itself");
  await page.press("act-demo");
  await page.measured();
  const button = page.page.locator("#messages button", { hasText: "Take it now" });
  check((await button.count()) === 0 || (await button.isDisabled()), "it can be taken while measuring");
  await page.press("act-stop");
  await page.phase("idle");
  await page.press_in_messages("Take it now");
  await page.page.waitForFunction(() => document.title.startsWith("Newer"), undefined, { polling: 100, timeout: 60_000 });
  const told = await page.until("the newer version to run", (now) => !/Loading/.test(now.status_line));
  same(told.phase, "idle", "phase");
}

export const tests = [
  ["visited once under a sub-path, the page works without its server", works_without_a_server],
  ["a newer version is offered, never while measuring, and taken on demand", offers_a_newer_version],
];
