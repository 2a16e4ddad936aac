// Answers that wait on this phone, over page loads and over the end of the browser, each in a row of its own: two tabs
// never write over each other. A row names its author, so that nobody's answers go out under another's name.

import { change, hint, hintWhetherSomethingIsKept, read } from "./database.js";

// Where earlier versions of the register kept them; what waits there still goes out.
const EARLIER = /^answer of (\d+) on visit (\d+): /;

/** Rows {order, person, name, visit, at, href, url, entry} of all that waits, whoever gave it, in order. */
export async function everything() {
  await takeOverEarlier();
  return read("answers");
}

async function takeOverEarlier() {
  for (const key of Object.keys(localStorageOrNone())) {
    const [, person, visit] = EARLIER.exec(key) ?? [];
    if (!person) continue;
    try {
      const { entry, name, at, href } = JSON.parse(localStorage.getItem(key));
      await put({ person: Number(person), visit: Number(visit), name, at, href, url: `/visits/${visit}/answers/`, entry });
      localStorage.removeItem(key);
    } catch {
      // Somebody wrote into it: what can be read is read.
    }
  }
}

function localStorageOrNone() {
  try {
    return { ...localStorage };
  } catch {
    return {};
  }
}

async function putInto(store, row) {
  const there = await store.index("uuid").get(row.entry.answer.client_uuid);
  return store.put(there ? { ...row, order: there.order } : row);
}

/** Keep rows, or what became of them, all or none; gives their places in the order. Throws where they cannot be kept. */
export async function putAll(rows) {
  hint(true);
  const orders = await change("answers", (store) => Promise.all(rows.map((row) => putInto(store, row))));
  return orders ?? [];
}

/** Keep a row, or what became of it; gives the row with its place in the order. Throws where it cannot be kept. */
export async function put(row) {
  const [order] = await putAll([row]);
  return { ...row, order };
}

/**
 * Take a row away; with `unless`, only where the row as it lies there does not forbid it.
 * Whether it was taken away.
 */
export async function remove(row, unless = () => false) {
  const isGone = await change("answers", async (store) => {
    const there = await store.index("uuid").get(row.entry.answer.client_uuid);
    if (!there || unless(there)) return false;
    await store.delete(there.order);
    return true;
  });
  await hintWhetherSomethingIsKept();
  return isGone ?? true; // no database: it was in this page only
}
