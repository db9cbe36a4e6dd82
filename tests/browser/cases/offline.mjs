// Once visited, the page needs no network; a newer version waits until it is taken, and is taken whole or not at all.
import { cpSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { createServer, get as forward } from "node:http";
import { join } from "node:path";
import { check, near, none, number, same } from "../check.mjs";
import { kept_offline } from "../house.mjs";
import { tone } from "../sound.mjs";
import { keep_a_visit, stored_cards, stored_visits } from "../stored.mjs";
import { seal_site } from "../../../shell/site_list.mjs";

const kBase = "/bench/speed/four76/";

async function works_without_a_server(house) {
  const server = await house.serve(house.site, kBase);
  check(server.address.endsWith(kBase), `served on ${server.address}`);
  const page = await house.open_ready({ address: server.address, sound: [tone({ hz: 3015, seconds: 4 })] });
  await kept_offline(page);
  await server.stop();

  await page.page.goto(`${server.address}?from=shortcut#v1.tone=3000`);
  await page.listen();
  const told = await page.measured();
  near(number(told.reading.speed_error_percent), 0.5, 0.02, "speed error");
  await page.press("act-stop");
  await page.open_file(house.file("tone.wav", house.wav_of([tone({ hz: 2985, seconds: 3 })])));
  const file = await page.phase("file_shown"); // the Worker's files are kept too
  near(number(file.reading.speed_error_percent), -0.5, 0.01, "speed error of the file");
  await page.page.goto(`${server.address}notices.html`);
  check((await page.page.locator("body").innerText()).includes("Dear ImGui"), "the notices are not kept");
}

// How often each file goes over the network while somebody opens the page for the first time, until it works without one.
async function fetches_each_file_once(house) {
  const server = await house.serve();
  const asked = new Map();
  const counting = createServer((request, answer) => {
    const path = request.url.replace(/[?#].*/, "");
    asked.set(path, (asked.get(path) ?? 0) + 1);
    forward(new URL(request.url, server.address), { headers: { ...request.headers, host: new URL(server.address).host } }, (from) => {
      answer.writeHead(from.statusCode, { ...from.headers, "cache-control": "max-age=600" }); // as hosts of pages say
      from.pipe(answer);
    }).on("error", () => answer.destroy());
  });
  await new Promise((listens) => counting.listen(0, "127.0.0.1", listens));
  try {
    const page = await house.open_ready({ address: `http://localhost:${counting.address().port}/`, locale: "de" });
    await kept_offline(page);
    const words_are_kept = () => caches.match("words/de.txt", { ignoreSearch: true }).then(Boolean);
    await page.page.waitForFunction(words_are_kept, undefined, { polling: 100, timeout: 20_000 });
    const kLoads = 20; // files at the least that make the page
    check(asked.size >= kLoads, `only ${asked.size} files were asked for`);
    // When to ask for the worker is the browser's own affair.
    none([...asked].filter(([path, times]) => times > 1 && !/service_worker[.]js$/.test(path)).map(([path, times]) => `${path} ${times} times`), "fetched again");
    house.note(`${asked.size} files`);
  } finally {
    counting.closeAllConnections();
    counting.close();
  }
}

// The site as it is built, in a folder in which a test may make a newer version of it.
function copied_site(house, name = "site") {
  const folder = join(house.folder, name);
  cpSync(house.site, folder, { recursive: true });
  return folder;
}
function write_newer(folder, title) {
  const page = readFileSync(join(folder, "index.html"), "utf8");
  const newer = page.replace(/<title>[^<]*/, `<title>${title}`);
  check(newer !== page, "the page has no title");
  writeFileSync(join(folder, "index.html"), newer);
  seal_site(folder);
}
const titled = (page, title) => page.page.waitForFunction((wanted) => document.title === wanted, title, { polling: 100, timeout: 60_000 });

// What a visit to the page does by itself. "redundant": it was not whole, and is thrown away.
function looks_for_update(page) {
  return page.page.evaluate(async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    await registration.update().catch(() => {}); // refused before it began to install
    const coming = registration.installing ?? registration.waiting;
    while (coming && !["installed", "redundant"].includes(coming.state)) await new Promise((resolve) => setTimeout(resolve, 50));
    return coming?.state ?? "none";
  });
}

async function offers_a_newer_version(house) {
  const folder = copied_site(house);
  const server = await house.serve(folder, kBase);
  const page = await house.open_ready({ address: server.address });
  await kept_offline(page);
  await keep_a_visit(house, page);
  const cards = await stored_visits(page, 1);
  write_newer(folder, "Newer");

  await page.page.reload();
  await page.message(/A newer version is ready/);
  check((await page.page.title()) !== "Newer", "the newer version came by itself");
  await page.press("act-demo");
  await page.measured();
  const button = page.page.locator("#messages button", { hasText: "Take it now" });
  check((await button.count()) === 0 || (await button.isDisabled()), "it can be taken while measuring");
  const other = await page.page.context().newPage(); // a second tab stays as it is
  await other.goto(server.address);
  check((await other.title()) !== "Newer", "a second tab is of another version");
  await page.stop();
  await page.press_in_messages("Take it now");
  await titled(page, "Newer");
  same((await page.runs()).phase, "idle", "phase");
  same(await stored_cards(page), cards, "the cards after the update");
  await other.waitForFunction(() => /newer version is ready/.test(document.getElementById("messages").innerText), undefined, { polling: 100 });
  check((await other.title()) !== "Newer", "the second tab was loaded again by itself");
  await other.close();

  await server.stop(); // the newer one is kept as well
  await page.page.reload();
  await titled(page, "Newer");
  await page.runs();
  await page.open_panel("cards");
  await page.page.waitForFunction(() => document.querySelectorAll("#cards-visits details").length === 1, undefined, { polling: 100 });
}

// A host that has only some of the new files yet, and one that hands out an old one among them.
async function keeps_the_old_where_the_new_is_not_whole(house) {
  const folder = copied_site(house);
  const server = await house.serve(folder);
  const page = await house.open_ready({ address: server.address, expect_errors: true });
  await kept_offline(page);
  await keep_a_visit(house, page);
  const cards = await stored_visits(page, 1);

  // The newer one is made and spoiled beside, for the browser looks for an update when it likes.
  let newer = copied_site(house, "newer");
  const at = (name) => join(newer, name);
  const changed = (name, change) => writeFileSync(at(name), change(readFileSync(at(name), "latin1")), "latin1");
  changed("index.css", (css) => `${css}/* newer */\n`);
  write_newer(newer, "Newer");
  const take_its_place = () => {
    renameSync(folder, `${folder}.old`);
    renameSync(newer, folder);
    newer = folder;
  };
  const attempts = {
    "a new file is missing": [() => renameSync(at("index.css"), at("held")), () => renameSync(at("held"), at("index.css"))],
    "a file is another one": [() => changed("index.css", (css) => `${css} `), () => changed("index.css", (css) => css.slice(0, -1))],
    "the list is another one": [() => changed("files.sha256", (list) => `0${list}`), () => changed("files.sha256", (list) => list.slice(1))],
  };
  for (const [what, [spoil, mend]] of Object.entries(attempts)) {
    spoil();
    if (newer !== folder) take_its_place();
    const state = await looks_for_update(page);
    check(state === "redundant" || state === "none", `${what}: the newer version is ${state}`);
    mend();
  }
  await page.page.reload(); // finds it whole at last
  check((await page.page.title()) !== "Newer", "the old version is gone");
  await page.runs();
  await page.press("act-demo"); // with the program that is kept
  await page.measured();
  await page.press("act-stop");
  await page.message(/A newer version is ready/);
  await page.press_in_messages("Take it now");
  await titled(page, "Newer");
  await page.runs();
  same(await stored_cards(page), cards, "the cards");
}

export const tests = [
  ["offline: a first visit fetches each file once", fetches_each_file_once],
  ["offline: visited once under a sub-path, the page works without its server", works_without_a_server],
  ["offline: a newer version is offered, never while measuring, taken on demand, and the cards stay", offers_a_newer_version],
  ["offline: an update that comes in part leaves the page and its cards as they were", keeps_the_old_where_the_new_is_not_whole],
];
