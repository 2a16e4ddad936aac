// Answers for the register where there is no network: pages that were taken along, as they stood then, and what they
// need. With a network the register answers, and a page that was taken along is kept anew. Each person has their own
// pages; who is logged in tells each answer of the register, and pages of anybody else are as if they were not there.
// The view puts REGISTER before this text: {version, shell, statics, areNamedByContent, withoutNetwork, loggedOut,
// policy, policyOfReader}.

const STATICS = "statics";
const WHO = "who is logged in";
const GONE_AFTER_MS = 30 * 24 * 60 * 60 * 1000;
const PATIENCE_MS = 5000; // a basement has a network that never answers
const SHORT_PATIENCE_MS = 1000; // and would answer the next page no sooner
const SILENCE_LASTS_MS = 60_000;
let silentSince = 0;

const pagesOf = (person) => `pages of ${person}`;

self.addEventListener("install", (event) => event.waitUntil(keepShell()));
self.addEventListener("activate", (event) => event.waitUntil(Promise.all([self.clients.claim(), sweep()])));
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting(); // a page says so
});

async function keepShell() {
  const cache = await caches.open(STATICS);
  const there = REGISTER.areNamedByContent ? new Set((await cache.keys()).map((request) => new URL(request.url).pathname)) : new Set();
  const wanted = REGISTER.shell.filter((address) => !there.has(address));
  // What its name says whole need not come again: the page before has just loaded half of it.
  const how = { cache: REGISTER.areNamedByContent ? "default" : "no-cache" };
  await cache.addAll(wanted.map((address) => new Request(address, how)));
  await cache.add(new Request(REGISTER.withoutNetwork, { cache: "reload" }));
}

/** Files of versions that no page taken along can still ask for: none is kept so long. */
async function sweep() {
  const cache = await caches.open(STATICS);
  for (const request of await cache.keys()) {
    if (REGISTER.shell.includes(new URL(request.url).pathname)) continue;
    const date = Date.parse((await cache.match(request)).headers.get("Date") ?? "");
    if (Date.now() - date > GONE_AFTER_MS) await cache.delete(request);
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith(REGISTER.statics)) event.respondWith(staticFile(request));
  else if (url.pathname.endsWith("/picture/")) event.respondWith(picture(request, url));
  else if (request.mode === "navigate") event.respondWith(page(event, url));
});

let statics = null; // the cache of scripts and sheets, opened once: a page asks for fifty at the same moment

async function staticFile(request) {
  statics ??= caches.open(STATICS);
  const cache = await statics;
  const kept = await cache.match(request, { ignoreVary: true });
  if (kept && (REGISTER.areNamedByContent || !navigator.onLine)) return kept;
  try {
    const response = await fetch(request);
    if (response.ok) await cache.put(request, response.clone());
    return response;
  } catch (error) {
    if (kept) return kept;
    throw error;
  }
}

/** The drawing of a plan that was taken along; it never changes. */
async function picture(request, url) {
  const person = await who();
  const kept = person && (await (await caches.open(pagesOf(person))).match(url.pathname));
  return kept || fetch(request);
}

async function page(event, url) {
  const kept = await keptPage(url);
  if (kept && !navigator.onLine) return kept;
  try {
    const response = await fetch(event.request, kept ? { signal: AbortSignal.timeout(patience()) } : {});
    silentSince = 0;
    if (response.status >= 502 && kept) return kept; // what stands before the register answers, the register does not
    event.waitUntil(learn(response.clone(), url, Boolean(kept)));
    return response;
  } catch (error) {
    if (error.name === "TimeoutError" && !isSilent()) silentSince = Date.now();
    return kept ?? (await caches.match(REGISTER.withoutNetwork));
  }
}

const isSilent = () => Date.now() - silentSince < SILENCE_LASTS_MS;
const patience = () => (isSilent() ? SHORT_PATIENCE_MS : PATIENCE_MS);

/** What an answer of the register tells: who is logged in, and how a page that was taken along stands now. */
async function learn(response, url, isKept) {
  const person = response.headers.get("X-Person");
  if (person === null) return;
  await noteWho(person);
  if (!isKept || !response.ok) return;
  const address = url.pathname + url.search;
  const asTaken = await (await caches.open(pagesOf(person))).match(address); // not with a filter of its own
  if (asTaken && !asTaken.headers.has("X-Leads-To")) await keep(person, address, await response.text(), response.headers.get("X-Made-At"));
}

async function noteWho(person) {
  const cache = await caches.open(WHO);
  const before = await who();
  if (before !== person) await cache.put("/who", new Response(person));
}

async function who() {
  return (await (await caches.match("/who", { cacheName: WHO }))?.text()) ?? "";
}

async function keep(person, address, html, madeAt) {
  const packed = new Blob([html]).stream().pipeThrough(new CompressionStream("gzip"));
  const body = await new Response(packed).blob();
  await (await caches.open(pagesOf(person))).put(address, new Response(body, { headers: { "X-Made-At": madeAt } }));
}

async function keptPage(url) {
  const person = await who();
  if (!person || REGISTER.loggedOut.includes(url.pathname)) return undefined;
  const cache = await caches.open(pagesOf(person));
  const kept = (await cache.match(url.pathname + url.search)) ?? (await cache.match(url.pathname));
  if (!kept) return undefined;
  if (kept.headers.has("X-Leads-To")) return Response.redirect(new URL(kept.headers.get("X-Leads-To"), location.origin));
  const html = await new Response(kept.body.pipeThrough(new DecompressionStream("gzip"))).text();
  const marked = html.replace("<body", `<body data-kept="${kept.headers.get("X-Made-At")}"`);
  const headers = {
    "Content-Type": "text/html; charset=utf-8",
    "Content-Security-Policy": html.includes("data-reader=") ? REGISTER.policyOfReader : REGISTER.policy,
    "Referrer-Policy": "same-origin",
  };
  return new Response(marked, { headers });
}
