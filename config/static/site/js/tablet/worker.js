/* Keeps the page of the form and its assets for work without network. It keeps no
   data: the register and the drafts stand in the page's own store. `kept` comes from
   the view: page, version, assets. */
const CACHE = `tablet-${kept.version}`;
const PATIENCE_MS = 4000;
/* While the server's page is newer than this worker, its scripts must be so too. */
let isCurrent = true;

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate" && url.pathname === kept.page) {
    event.respondWith(page(request));
  } else if (kept.assets.includes(url.pathname)) {
    event.respondWith(asset(request));
  }
});

async function install() {
  const cache = await caches.open(CACHE);
  await cache.addAll(kept.assets.map((path) => new Request(path, { cache: "reload" })));
  await pageKeep(await fetch(kept.page, { redirect: "manual", cache: "reload" }));
  await self.skipWaiting();
}

async function activate() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith("tablet-") && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function pageKeep(answer) {
  if (!answer.ok || answer.redirected) return;
  await (await caches.open(CACHE)).put(kept.page, answer.clone());
}

async function page(request) {
  const fresh = fetch(request).then(async (answer) => {
    isCurrent = answer.headers.get("Tablet-Version") === kept.version;
    await pageKeep(answer);
    return answer;
  });
  const stored = await (await caches.open(CACHE)).match(kept.page);
  if (!stored) return fresh;
  const patience = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, stored));
  return Promise.race([fresh, patience]).catch(() => stored);
}

async function asset(request) {
  const stored = await (await caches.open(CACHE)).match(request);
  if (stored && isCurrent) return stored;
  return fetch(request).catch(() => stored ?? Response.error());
}
