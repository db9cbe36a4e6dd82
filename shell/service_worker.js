// Keeps one whole version of the page, so that it opens without a network. A version is taken as a whole or not at all:
// the files of one never mix with those of another, and the next one waits until the person takes it. What the list of
// files (shell/site_list.mjs) does not vouch for, byte by byte, is not kept: a download that broke off, or a host that is
// just being given a newer version, leaves everything as it was, and the browser tries again at the next visit.
const kVersion = "@SITE_VERSION@"; // SHA-256 of the list's lines but for the last, which is this script's own
// The checker takes it for a worker of the other kind.
const here = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const { scope } = here.registration;
const kCachePrefix = `four76 ${scope} `;
const kCache = kCachePrefix + kVersion;

/** @param {BufferSource} bytes */
async function sum_of(bytes) {
  return [...new Uint8Array(await crypto.subtle.digest("SHA-256", bytes))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {RequestCache} cache */
async function listed_lines(cache) {
  const list = await (await fetch("files.sha256", { cache })).text();
  const lines = list.slice(0, list.lastIndexOf("\n", list.length - 2) + 1);
  if ((await sum_of(new TextEncoder().encode(lines))) !== kVersion) throw new Error("a list of another version");
  return lines.trim().split("\n");
}

// [address, response]: a file with the bytes that the list vouches for. Where those lie in the browser's cache, since the page has
// just loaded them, the host is not asked again. "./" is the page itself, as a visitor's address has it.
/** @param {string} line @returns {Promise<[address: string, response: Response]>} */
async function fetch_listed(line) {
  const [sum, name] = line.split("  ");
  const address = name === "index.html" ? "./" : name;
  for (const cache of /** @type {const} */ (["force-cache", "reload"])) {
    const response = await fetch(address, { cache });
    if (response.ok && (await sum_of(await response.clone().arrayBuffer())) === sum) return [address, response];
  }
  throw new Error(`${name} is not that of this version`);
}

// Of the languages, that one is kept which is told; an update takes over which.
/** @param {string} line */
const is_words = (line) => line.split("  ")[1].startsWith("words/");
async function fill_cache() {
  const kept = (await Promise.all((await own_caches()).map(kept_addresses))).flat();
  const told = (/** @type {string} */ line) => kept.includes(new URL(line.split("  ")[1], scope).href);
  const lines = (await listed_lines("reload")).filter((line) => !is_words(line) || told(line));
  const fetched = await Promise.all(lines.map(fetch_listed));
  await keep(fetched).catch(async (error) => {
    await caches.delete(kCache); // half a version is none
    throw error;
  });
}
/** @param {[address: string, response: Response][]} fetched */
async function keep(fetched) {
  const cache = await caches.open(kCache);
  await Promise.all(fetched.map(([address, response]) => cache.put(address, response)));
}

async function own_caches() {
  return (await caches.keys()).filter((name) => name.startsWith(kCachePrefix));
}
/** @param {string} name */
async function kept_addresses(name) {
  return (await (await caches.open(name)).keys()).map(({ url }) => url);
}
/** @param {string} name */
async function keep_words(name) {
  const line = (await listed_lines("force-cache")).find((each) => is_words(each) && each.endsWith(`  ${name}`));
  if (line && !(await (await caches.open(kCache)).match(name))) await keep([await fetch_listed(line)]);
}

async function drop_older_caches() {
  await Promise.all((await own_caches()).filter((name) => name !== kCache).map((name) => caches.delete(name)));
}

// "./" stands for the page under any of its names.
/** @param {Request} request */
async function answer(request) {
  const cache = await caches.open(kCache);
  const url = new URL(request.url);
  const is_page = request.mode === "navigate" && ["", "index.html"].includes(url.href.split(/[?#]/)[0].slice(scope.length));
  const kept = await cache.match(is_page ? "./" : request, { ignoreSearch: true });
  return kept ?? fetch(request);
}

here.addEventListener("install", (event) => event.waitUntil(fill_cache()));
here.addEventListener("activate", (event) => event.waitUntil(drop_older_caches().then(() => here.clients.claim())));
here.addEventListener("message", (event) => {
  if (event.data === "take over") here.skipWaiting();
  if (event.data.words) event.waitUntil(keep_words(event.data.words).catch(() => {})); // the next visit tries again
});
here.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(scope)) event.respondWith(answer(request));
});
