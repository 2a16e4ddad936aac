// Photographs that wait on this phone, each with its author, as answers do: nobody's go out under another's name.

import { change, database, hint, hintWhetherSomethingIsKept, read } from "./database.js";

/**
 * Rows {uuid, person, name, visit, at, href, url, page, of, label, told, blob}; `refused` where the register said no,
 * `draftUntil` while its author may still write or draw on it: after that it goes out as it is. `sentAt` where the
 * register has it and pages that were taken along before do not show it.
 */
export async function allPhotos() {
  return (await photosBySending()).unsent;
}

/** {unsent, sent} */
export async function photosBySending() {
  const rows = await read("photos");
  return { unsent: rows.filter((row) => !row.sentAt), sent: rows.filter((row) => row.sentAt) };
}

/** The register has it: it stays for the pages of a visit that was taken along, else it goes. */
export async function photoSent(row, sentAt) {
  const isTaken = (await read("visits")).some((one) => one.person === row.person && one.visit === row.visit);
  return isTaken ? keepPhoto({ ...row, sentAt }) : removePhoto(row.uuid);
}

/** On disk when the promise is fulfilled. Throws where there is no room, or no database. */
export async function keepPhoto(row) {
  if (!(await database())) throw new Error("This browser keeps nothing.");
  hint(true);
  await change("photos", (store) => store.put(row));
}

/** Of those sent, forget what `isShown` says of a row. */
export async function forgetSentPhotos(isShown) {
  await change("photos", async (store) => {
    for (const row of await store.getAll()) if (row.sentAt && isShown(row)) await store.delete(row.uuid);
  });
}

export async function removePhoto(uuid) {
  await change("photos", (store) => store.delete(uuid));
  await hintWhetherSomethingIsKept();
}
