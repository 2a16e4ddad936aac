// Takes a visit along: all its pages, packed, in the cache that the worker answers from; what they are stands in the
// database of this phone. One visit at a time, whichever tab asked.

import { change, hint, read } from "./database.js";
import { forgetGiven } from "./given.js";
import { allPhotos, forgetSentPhotos } from "./photo_store.js";

const STALE_AFTER_MS = 4 * 60 * 60 * 1000;
const MOST_NAMED = 6;
const GONE_AFTER_MS = 14 * 24 * 60 * 60 * 1000;

export const canTakeAlong = "serviceWorker" in navigator && "CompressionStream" in window;

/** Have the worker answer from now on, for this person: it did not see the page come that asks for it first. */
async function startWorker(person, address) {
  const registration = await navigator.serviceWorker.register(address, { updateViaCache: "none" });
  // Files are named by their content: no open page gets another version of one.
  const takeOver = () => registration.waiting?.postMessage("take over");
  const follow = () => registration.installing?.addEventListener("statechange", takeOver);
  registration.addEventListener("updatefound", follow);
  follow();
  await navigator.serviceWorker.ready;
  takeOver();
  await (await caches.open("who is logged in")).put("/who", new Response(String(person)));
}

/** Rows {key, person, visit, name, href, madeAt, pages, labels, pictures, bytes, stops, isWhole} of what a person has taken along. */
export async function takenBy(person) {
  return (await read("visits")).filter((row) => row.person === person);
}

export async function taken(person, visit) {
  return (await takenBy(person)).find((row) => row.visit === visit);
}

/** The visit, as a row above, with which a page outside any visit was taken along: the newest; null where with none. */
export async function visitOfPage(person, address) {
  const rows = (await takenBy(person)).filter((row) => row.pages.includes(address));
  return rows.sort((one, other) => Date.parse(other.madeAt) - Date.parse(one.madeAt))[0] ?? null;
}

export function isStale(row) {
  return !row?.isWhole || row.isPast || Date.now() - Date.parse(row.madeAt) > STALE_AFTER_MS;
}

async function ask(address) {
  const response = await fetch(address, { headers: { Accept: "application/json" } });
  if (!response.ok || response.redirected) throw new Error(`The register answered ${response.status}.`);
  return response.json();
}

async function packed(html) {
  return new Response(new Blob([html]).stream().pipeThrough(new CompressionStream("gzip"))).blob();
}

/** What of a visit found no room, in words: the positions that cannot be tested without a network, by their tags. */
function noRoom(row, kept) {
  const without = row.stops.filter((stop) => !kept.has(stop.url)).map((stop) => stop.tag);
  const named = without.slice(0, MOST_NAMED).join(", ");
  const more = without.length - MOST_NAMED;
  const stops = without.length ? `Without a network there is no test at ${named}${more > 0 ? ` and ${more} more` : ""}.` : "Every test is kept; of settings, wiring, plans and the building not all is.";
  return `This phone has no room: ${kept.size} of ${row.pages.length} pages are kept. ${stops} Let another visit go on your home page, or make room on the phone.`;
}

/** Into the cache; throws a sentence where there is no room. `kept`: addresses of the pages that are in it. */
async function putInto(cache, address, response, row, kept) {
  try {
    await cache.put(address, response);
  } catch (error) {
    throw error.name === "QuotaExceededError" ? new Error(noRoom(row, kept)) : error;
  }
}

/** The drawings of its plans, as they are: they are packed already. */
async function takePictures(cache, row, madeAt, kept) {
  for (const address of row.pictures) {
    const there = await cache.match(address);
    const response = there ?? (await fetch(address));
    if (!response.ok) throw new Error(`The register answered ${response.status}.`);
    const body = await response.blob();
    row.bytes += body.size;
    if (!there) await putInto(cache, address, new Response(body, { headers: { "Content-Type": body.type, "X-Made-At": madeAt } }), row, kept);
  }
}

/** Take along the visit of this address (visit-taken-along); `tell` hears {done, of} as it goes. Throws where the network or the room gives out: what is kept by then stays. */
export function takeAlong(person, address, tell = () => {}) {
  const act = () => takeAll(person, address, tell);
  return navigator.locks ? navigator.locks.request("taking a visit along", act) : act();
}

async function takeAll(person, address, tell) {
  const list = await ask(address);
  const { visit } = list;
  await startWorker(person, list.worker_url);
  await navigator.storage?.persist?.();
  const cache = await caches.open(`pages of ${person}`);
  const row = { key: `${person} ${visit}`, person, visit, name: list.name, href: list.pages[0], madeAt: list.made_at, pages: list.pages, labels: list.labels.map(([label]) => label), pictures: list.pictures, stops: list.stops, isWhole: false, bytes: 0 };
  hint(true);
  await change("visits", (store) => store.put(row));
  const kept = new Set();
  for (let from = 0; from !== null; ) {
    const some = await ask(`${list.pages_url}?from=${from}`);
    for (const [address, html] of some.pages) {
      const body = await packed(html);
      await putInto(cache, address, new Response(body, { headers: { "X-Made-At": some.made_at } }), row, kept);
      row.bytes += body.size;
      kept.add(address);
    }
    from = some.next;
    tell({ done: from ?? list.pages.length, of: list.pages.length });
  }
  await takePictures(cache, row, list.made_at, kept);
  for (const [label, to] of list.labels) await cache.put(label, new Response("", { headers: { "X-Leads-To": to, "X-Made-At": list.made_at } }));
  row.isWhole = true;
  await forgetGiven(person, visit, list.made_at);
  await forgetSentPhotos((one) => one.person === person && one.visit === visit && Date.parse(one.sentAt) < Date.parse(list.made_at));
  await change("visits", (store) => store.put(row));
  return row;
}

/** Let a visit go: its pages that no other visit of this person needs. Never while an answer or photograph of it waits. */
export async function letGo(row) {
  const waiting = [...(await read("answers")), ...(await allPhotos())];
  if (waiting.some((one) => one.person === row.person && one.visit === row.visit)) return false;
  await forgetSentPhotos((one) => one.person === row.person && one.visit === row.visit);
  const others = (await takenBy(row.person)).filter((other) => other.visit !== row.visit);
  const all = (one) => [...one.pages, ...(one.labels ?? []), ...(one.pictures ?? [])]; // a row of an earlier version has none
  const needed = new Set(others.flatMap(all));
  const cache = await caches.open(`pages of ${row.person}`);
  for (const address of all(row)) if (!needed.has(address)) await cache.delete(address);
  await change("visits", (store) => store.delete(row.key));
  await change("given", async (store) => {
    for (const one of await store.getAll()) if (one.person === row.person && one.visit === row.visit) await store.delete(one.uuid);
  });
  return true;
}

export async function letGoOfOld(person) {
  for (const row of await takenBy(person)) if (Date.now() - Date.parse(row.madeAt) > GONE_AFTER_MS) await letGo(row);
}

/** Pages of a person who logs out are for nobody who takes the phone next. What waits unsent stays, and is sealed. */
export async function letGoOfAll(person) {
  await caches.delete(`pages of ${person}`);
  await forgetSentPhotos((one) => one.person === person);
  await change("visits", async (store) => {
    for (const row of await store.getAll()) if (row.person === person) await store.delete(row.key);
  });
  await change("given", async (store) => {
    for (const one of await store.getAll()) if (one.person === person) await store.delete(one.uuid);
  });
}
