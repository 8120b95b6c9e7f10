// Keeps the pages of this device for when the line is gone. VERSION and FILES stand before this.
//
// Files are kept for good, their address changes with them. Pages are fetched as long as the line is
// good; the last one that was seen stands in when it is not. Acts are never answered from here.

const FILES_KEPT = `files-${VERSION}`;
const PAGES_KEPT = "pages";
const PATIENCE_MS = 4000;
const NEVER = ["/live", "/scan", "/said", "/sign-in", "/sign-out", "/trust", "/sw.js"];

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const files = await caches.open(FILES_KEPT);
    await files.addAll([...FILES, "/manifest.webmanifest"]);
    const pages = await caches.open(PAGES_KEPT);
    await pages.add("/offline");
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("files-") && name !== FILES_KEPT) await caches.delete(name);
    }
    // Pages that were kept before name files that are gone.
    await forget();
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (url.pathname === "/sign-out" || (url.pathname === "/sign-in" && event.request.method === "POST")) {
    // The next person on this device does not see what the last one saw.
    event.respondWith(fetch(event.request).then(async (answer) => { await forget(); return answer; }));
    return;
  }
  if (event.request.method !== "GET" || url.pathname.startsWith("/api/") || NEVER.some((one) => url.pathname === one || url.pathname.startsWith(`${one}/`))) return;
  if (url.pathname.startsWith("/static/") || url.pathname === "/manifest.webmanifest") {
    event.respondWith(caches.match(event.request).then((kept) => kept ?? fetch(event.request)));
    return;
  }
  // A page, or the same page fetched by its own script to see what changed.
  const asked = event.request.mode === "navigate" || event.request.headers.has("X-Partsvc-Page");
  if (asked) event.respondWith(page(event.request, event.request.mode === "navigate"));
});

async function page(request, navigates) {
  const pages = await caches.open(PAGES_KEPT);
  const { pathname, search } = new URL(request.url);
  const under = pathname + search;
  const kept = navigates ? await pages.match(under) : undefined;
  const line = fetch(request).then(async (answer) => {
    if (answer.ok && answer.type === "basic" && !answer.redirected
      && (answer.headers.get("Content-Type") ?? "").startsWith("text/html")) {
      await pages.put(under, answer.clone());
    }
    return answer;
  });
  if (!navigates) return line;
  line.catch((gone) => console.info("no line:", gone.message));
  // A line so bad that nothing comes is as good as none, if there is something to show instead.
  const late = new Promise((done) => { if (kept) setTimeout(() => done(kept), PATIENCE_MS); });
  try {
    return await Promise.race([line, late]);
  } catch {
    return kept ?? (await pages.match("/offline"));
  }
}

/** All pages that were kept, but for the one that says that there is no line. */
async function forget() {
  const pages = await caches.open(PAGES_KEPT);
  for (const one of await pages.keys()) {
    if (new URL(one.url).pathname !== "/offline") await pages.delete(one);
  }
}
