// Photographs that wait on this phone, each with its author, as answers do: nobody's go out under another's name.

import { change, database, hint, hintWhetherSomethingIsKept, read } from "./database.js";

/**
 * Rows {uuid, person, name, visit, at, href, url, page, of, label, told, blob}; `refused` where the register said no,
 * `draftUntil` while its author may still write or draw on it: after that it goes out as it is.
 */
export function allPhotos() {
  return read("photos");
}

/** On disk when the promise is fulfilled. Throws where there is no room, or no database. */
export async function keepPhoto(row) {
  if (!(await database())) throw new Error("This browser keeps nothing.");
  hint(true);
  await change("photos", (store) => store.put(row));
}

export async function removePhoto(uuid) {
  await change("photos", (store) => store.delete(uuid));
  await hintWhetherSomethingIsKept();
}
