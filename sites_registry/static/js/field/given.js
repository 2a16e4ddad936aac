// What was answered on this phone and is not on the page as it stands: waiting, or sent after the page was taken along.

import { change, read } from "./database.js";

/** Remember an answer that the register has taken: pages that were taken along before do not show it. */
export async function rememberGiven(row, at) {
  const isTaken = (await read("visits")).some((one) => one.person === row.person && one.visit === row.visit);
  if (!isTaken) return;
  const { answer, ...rest } = row.entry;
  await change("given", (store) => store.put({ uuid: answer.client_uuid, person: row.person, visit: row.visit, at, answer, ...rest }));
}

/** After a swap, settings or an end the pages of a visit are others: they are taken along anew with the next network. */
export async function noLongerAsTaken({ person, visit, entry }) {
  await change("visits", async (store) => {
    const row = await store.get(`${person} ${visit}`);
    if (row) await store.put({ ...row, isPast: true, isStarted: row.isStarted || Boolean(entry.act.isStart) });
  });
}

/** What of them the pages of a visit show by now is forgotten. */
export async function forgetGiven(person, visit, madeAt) {
  await change("given", async (store) => {
    for (const one of await store.getAll())
      if (one.person === person && one.visit === visit && Date.parse(one.at) <= Date.parse(madeAt)) await store.delete(one.uuid);
  });
}

/** Answers [{answer, label, href, isFirst}] that the register has and this page, made at `madeAt`, has not. */
export async function givenSince(person, visit, madeAt) {
  const given = (await read("given")).filter((one) => one.person === person && one.visit === visit);
  return given.filter((one) => !madeAt || Date.parse(one.at) > Date.parse(madeAt)).sort((one, other) => Date.parse(one.at) - Date.parse(other.at));
}
