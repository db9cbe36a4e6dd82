// Keeps one whole version of the page, so that it opens without a network. A version is taken as a whole or not at all:
// the files of one never mix with those of another, and the next one waits until the person takes it.
const kVersion = "@SITE_VERSION@";
const kFiles = ["@SITE_FILES@"];
const kCachePrefix = `four76 ${registration.scope} `;
const kCache = kCachePrefix + kVersion;

// Of the languages, that one is kept which is told; an update takes over which.
const kWords = `${registration.scope}words/`;

async function fill_cache() {
  const words = new Set((await Promise.all((await own_caches()).map(kept_words))).flat());
  const cache = await caches.open(kCache);
  await cache.addAll([...kFiles, ...words].map((file) => new Request(file, { cache: "reload" })));
}

async function own_caches() {
  return (await caches.keys()).filter((name) => name.startsWith(kCachePrefix));
}
async function kept_words(name) {
  const requests = await (await caches.open(name)).keys();
  return requests.map(({ url }) => url).filter((url) => url.startsWith(kWords));
}
async function keep_words(url) {
  const cache = await caches.open(kCache);
  if (url.startsWith(kWords) && !(await cache.match(url))) await cache.add(url);
}

async function drop_older_caches() {
  await Promise.all((await own_caches()).filter((name) => name !== kCache).map((name) => caches.delete(name)));
}

// "./" stands for the page under any of its names.
async function answer(request) {
  const cache = await caches.open(kCache);
  const url = new URL(request.url);
  const is_page = request.mode === "navigate" && ["", "index.html"].includes(url.href.split(/[?#]/)[0].slice(registration.scope.length));
  const kept = await cache.match(is_page ? "./" : request, { ignoreSearch: true });
  return kept ?? fetch(request);
}

addEventListener("install", (event) => event.waitUntil(fill_cache()));
addEventListener("activate", (event) => event.waitUntil(drop_older_caches().then(() => clients.claim())));
addEventListener("message", (event) => {
  if (event.data === "take over") skipWaiting();
  if (event.data.words) event.waitUntil(keep_words(event.data.words).catch(() => {})); // the next visit tries again
});
addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(registration.scope)) event.respondWith(answer(request));
});
