// What this phone keeps, in one database of the browser: it is on disk before the page says so, and all tabs share it.

import { openDB } from "../../vendor/idb-8.0.4/index.js";

const NAME = "register on this phone";
// Every page looks at this first, so that pages of people who never answered in the field load nothing more.
const HINT = "register keeps something on this phone";

let opened = null;

/** The database, or null where this browser keeps none: then what is given waits in the page only. */
export function database() {
  opened ??= openDB(NAME, 3, {
    upgrade(db, before) {
      if (before < 1) {
        const answers = db.createObjectStore("answers", { keyPath: "order", autoIncrement: true });
        answers.createIndex("uuid", "entry.answer.client_uuid", { unique: true });
      }
      if (before < 2) {
        db.createObjectStore("visits", { keyPath: "key" }); // taken along
        db.createObjectStore("given", { keyPath: "uuid" }); // answers the register has, newer than the pages taken along
      }
      db.createObjectStore("photos", { keyPath: "uuid" });
    },
    blocking: (_old, _new, event) => event.target.close(), // a newer page of the register may change it
    terminated: () => {
      opened = null;
    },
  }).catch(() => null);
  return opened;
}

/** One change, on disk when the promise is fulfilled; `change` gets the object store. */
export async function change(storeName, act) {
  const db = await database();
  if (!db) return undefined;
  const transaction = db.transaction(storeName, "readwrite", { durability: "strict" });
  try {
    const result = await act(transaction.store);
    await transaction.done;
    return result;
  } catch (error) {
    if (!transaction.error) transaction.abort(); // what came before in it is not kept either
    throw error;
  }
}

export async function read(storeName) {
  const db = await database();
  return db ? db.getAll(storeName) : [];
}

export function hint(isKept) {
  try {
    if (isKept) localStorage.setItem(HINT, "yes");
    else localStorage.removeItem(HINT);
  } catch {
    // No storage at all: nothing is kept here.
  }
}

/** Nothing is kept any more: pages load nothing of this. */
export async function hintWhetherSomethingIsKept() {
  const kept = await Promise.all(["answers", "visits", "photos"].map(read)); // pages are let go at log-out
  if (kept.every((rows) => !rows.length)) hint(false);
}
