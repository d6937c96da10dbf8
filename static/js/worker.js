// The worker: holds the day's pages with their styles, scripts and pictures, and shows them where the network does not
// reach, each marked with its time. It never sends anything: what waits on the phone is no business of its own, and
// outlives it. SHOP stands in the line that the server writes above: the version, and the shop's time zone.
const PAGES = "pages"; // of whoever is logged in; gone with the log-out
const SHELL = "shell"; // pages that show nothing of the shop
const ASSETS = "assets";
const SHELL_PAGES = ["/offline/", "/waiting/"];
const LOG_IN = "/login/";
const LOG_OUT = "/logout/";
const NEVER = /^\/(admin|api|p|stop|supplies)(\/|$)/; // settings, machines, boats' owners, strangers
const HASHED = /\.[0-9a-f]{12}\.\w+$/;
const PATIENCE_MS = 6000; // for a page that is held anyway
const DAY_MS = 24 * 3600 * 1000;
let forgotten = 0; // counts the times that pages were dropped: what was on its way then is not kept

self.addEventListener("install", (event) => {
  self.skipWaiting();
  const seen = new Set();
  event.waitUntil(Promise.all(SHELL_PAGES.map((path) => keep(path, { cache: SHELL, credentials: "omit", seen }))));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

self.addEventListener("message", (event) => {
  if (event.data.keep) {
    event.waitUntil(keepAll(event.data));
  }
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin || NEVER.test(url.pathname)) {
    return;
  }
  if (request.method === "POST" && request.mode === "navigate" && url.pathname === LOG_OUT) {
    event.respondWith(logOut(request));
  } else if (request.method !== "GET") {
    return;
  } else if (request.mode === "navigate") {
    event.respondWith(page(request, url.pathname));
  } else if (url.pathname.startsWith("/static/")) {
    event.respondWith(asset(request));
  } else if (request.destination === "image") {
    event.respondWith(picture(request, url.pathname));
  }
});

// --- What is shown

async function page(request, path) {
  const kept = await held(path);
  try {
    const answer = await (kept ? soon(fetch(request)) : fetch(request));
    if (answer.ok && path === LOG_IN) {
      await forget();
    }
    return kept && [502, 503, 504].includes(answer.status) ? await marked(kept, path) : answer;
  } catch {
    return kept ? marked(kept, path) : bare("/offline/");
  }
}

async function logOut(request) {
  await forget();
  try {
    return await fetch(request);
  } catch {
    return bare("/offline/", (html) => html.replace('id="not-logged-out" hidden', 'id="not-logged-out"'));
  }
}

async function asset(request) {
  const kept = await caches.match(request, { cacheName: ASSETS, ignoreVary: true });
  if (kept && HASHED.test(request.url)) {
    return kept;
  }
  return fetch(request).catch(() => kept ?? Response.error());
}

async function picture(request, path) {
  try {
    return await fetch(request);
  } catch {
    const cache = await caches.open(PAGES);
    const exact = await cache.match(request, { ignoreSearch: true, ignoreVary: true });
    const photo = /^\/photos\/\d+\//.exec(path)?.[0];
    const like = exact ?? (photo && (await cache.keys()).find((key) => new URL(key.url).pathname.startsWith(photo)));
    return (like instanceof Request ? await cache.match(like, { ignoreVary: true }) : like) ?? Response.error();
  }
}

async function held(path) {
  for (const name of [PAGES, SHELL]) {
    const found = await caches.match(path, { cacheName: name, ignoreSearch: true, ignoreVary: true });
    if (found) {
      return found;
    }
  }
  return undefined;
}

// A held page says in its own text of when it is, so that nobody takes it for fresh, whatever its scripts do.
async function marked(kept, path) {
  if (SHELL_PAGES.includes(path)) {
    return kept; // it shows the phone's own
  }
  const at = new Date(kept.headers.get("X-Kept-At"));
  const html = await kept.text();
  const says = clock(at, /<html lang="([\w-]+)"/.exec(html)?.[1]);
  const told = html
    .replace("<html ", `<html data-as-of="${at.toISOString()}" `)
    .replace('id="as-of" hidden', 'id="as-of"')
    .replace("<time></time>", `<time datetime="${at.toISOString()}">${says}</time>`);
  return new Response(told, { headers: kept.headers });
}

async function bare(path, change = (html) => html) {
  const kept = await held(path);
  return kept ? new Response(change(await kept.text()), { headers: kept.headers }) : Response.error();
}

function clock(at, language = "en") {
  const today = Date.now() - at < DAY_MS / 2;
  const parts = { hour: "2-digit", minute: "2-digit", timeZone: SHOP.zone, ...(today ? {} : { weekday: "short", day: "numeric", month: "short" }) };
  return new Intl.DateTimeFormat(language === "en" ? "en-GB" : language, parts).format(at);
}

function soon(answer) {
  const tooLate = new Promise((_, give_up) => setTimeout(give_up, PATIENCE_MS));
  return Promise.race([answer, tooLate]);
}

// --- What is kept

// Pages one after the other, so that a slow network is left to the hands; `whole` says that no other is of the day.
async function keepAll({ keep: pages, whole, who }) {
  await dropOthers(who);
  const cache = await caches.open(PAGES);
  const seen = new Set();
  for (const { path, stamp } of pages) {
    const kept = await cache.match(path, { ignoreVary: true });
    if (kept?.headers.get("X-Kept-Stamp") !== `${SHOP.version} ${stamp}`) {
      await keep(path, { cache: PAGES, stamp, who, seen }).catch(() => {});
    }
  }
  if (whole) {
    await tidy(new Set(pages.map(({ path }) => path)));
  }
}

async function keep(path, { cache, credentials = "same-origin", stamp = "", who = "", seen = new Set() }) {
  const then = forgotten;
  const answer = await fetch(path, { credentials, cache: "no-store", headers: { "X-Kept": "page" } });
  if (answer.redirected && new URL(answer.url).pathname === LOG_IN) {
    return forget();
  }
  if (!answer.ok || answer.redirected) {
    return cache === PAGES && (await caches.open(cache)).delete(path);
  }
  const html = await answer.text();
  if (whose(html) !== who) {
    return undefined; // somebody else logged in meanwhile
  }
  await keepAssets(new URL(path, self.location.origin), assetsIn(html), seen);
  if (cache === PAGES) {
    await keepPictures(html, then);
  }
  if (then === forgotten) {
    const headers = new Headers(answer.headers);
    headers.delete("Content-Encoding");
    headers.set("X-Kept-At", new Date(answer.headers.get("Date") ?? Date.now()).toISOString());
    headers.set("X-Kept-Stamp", `${SHOP.version} ${stamp}`);
    await (await caches.open(cache)).put(path, new Response(html, { headers }));
  }
  return undefined;
}

// Pages of one person at a time: the first page of another drops what was held for the one before.
async function dropOthers(who) {
  const cache = await caches.open(PAGES);
  const page = (await cache.keys()).find((key) => !isPicture(key.url));
  if (page && whose(await (await cache.match(page, { ignoreVary: true })).text()) !== who) {
    await forget();
  }
}

const whose = (html) => /data-who="(\d+)"/.exec(html)?.[1] ?? "";
const isPicture = (url) => /\/photos\/\d+\/\w+\/$|\.svg$/.test(new URL(url).pathname);
const assetsIn = (text) => [...text.matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)].map(([, found]) => found);
const picturesIn = (html) => [...html.matchAll(/ src="(\/photos\/\d+\/\w+\/|\/hulls\/[^"]+\.svg[^"]*)"/g)].map(([, found]) => found);

// What a page loads, and what that loads in turn.
async function keepAssets(base, found, seen) {
  const cache = await caches.open(ASSETS);
  for (const address of found) {
    const url = new URL(address, base);
    if (seen.has(url.href) || (HASHED.test(url.pathname) && (await cache.match(url, { ignoreVary: true })))) {
      continue;
    }
    seen.add(url.href);
    const answer = await fetch(url);
    if (answer.ok) {
      const copy = answer.clone();
      await keepAssets(url, /\.(css|js)$/.test(url.pathname) ? ledTo(await answer.text()) : [], seen);
      await cache.put(url, copy); // last, so that one that is held has all that it loads
    }
  }
}

function ledTo(text) {
  const css = text.matchAll(/@import url\("([^"]+)"\)/g);
  const js = text.matchAll(/(?:from |import |import\()"(\.[^"]+)"/g);
  return [...css, ...js].map(([, found]) => found);
}

async function keepPictures(html, then) {
  const cache = await caches.open(PAGES);
  for (const address of picturesIn(html)) {
    if (!(await cache.match(address, { ignoreVary: true }))) {
      const answer = await fetch(address, { credentials: "same-origin" });
      if (answer.ok && !answer.redirected && then === forgotten) {
        await cache.put(address, answer);
      }
    }
  }
}

async function forget() {
  forgotten += 1;
  await caches.delete(PAGES);
}

// Drops pages that are no more of the day, and what no held page shows or loads.
async function tidy(ofTheDay) {
  const cache = await caches.open(PAGES);
  const texts = [];
  for (const key of await cache.keys()) {
    if (!isPicture(key.url)) {
      const kept = await cache.match(key, { ignoreVary: true });
      const old = Date.now() - new Date(kept.headers.get("X-Kept-At")) > DAY_MS;
      if (old && !ofTheDay.has(new URL(key.url).pathname)) {
        await cache.delete(key);
      } else {
        texts.push(await kept.text());
      }
    }
  }
  const shown = new Set(texts.flatMap(picturesIn).map((found) => new URL(found, self.location.origin).href));
  for (const key of await cache.keys()) {
    if (isPicture(key.url) && !shown.has(key.url)) {
      await cache.delete(key);
    }
  }
  await tidyAssets(texts);
}

async function tidyAssets(texts) {
  const shell = await Promise.all(SHELL_PAGES.map(async (path) => (await held(path))?.text() ?? ""));
  const cache = await caches.open(ASSETS);
  const loaded = new Set();
  let found = [...texts, ...shell].flatMap(assetsIn).map((address) => new URL(address, self.location.origin).href);
  while (found.length) {
    const fresh = found.filter((address) => !loaded.has(address));
    fresh.forEach((address) => loaded.add(address));
    const further = fresh.map(async (address) => {
      const kept = /\.(css|js)$/.test(address) && (await cache.match(address, { ignoreVary: true }));
      return kept ? ledTo(await kept.text()).map((next) => new URL(next, address).href) : [];
    });
    found = (await Promise.all(further)).flat();
  }
  for (const key of await cache.keys()) {
    if (!loaded.has(key.url)) {
      await cache.delete(key);
    }
  }
}
