// On the pages of a visit: takes the visit along when there is a network, and says what of it is on this phone.

import { momentInWords } from "../days.js";
import { canTakeAlong, isStale, letGoOfOld, takeAlong, taken } from "./taken_along.js";

const megabytes = (bytes) => `${(bytes / 1e6).toFixed(1)} MB`;

async function inWords(row) {
  const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
  const room = quota ? `, ${megabytes(usage)} of ${quota < 1e9 ? megabytes(quota) : `${(quota / 1e9).toFixed(1)} GB`} used` : "";
  const isSafe = await navigator.storage?.persisted?.();
  return `This visit is on this phone as of ${momentInWords(row.madeAt)}: ${row.pages.length} pages, ${megabytes(row.bytes)}${room}. ${isSafe ? "" : "The browser may clear it when the phone runs full; answers are sent as soon as there is a network."}`;
}

/** Take this visit along where what is kept is not of today, and tell of it in `line`. */
export async function keepThisVisit({ person, visit, address, line }) {
  const say = (text) => {
    line.textContent = text;
  };
  if (!canTakeAlong) return say("Without a network only this page goes on: this browser, or an address without https, cannot take a visit along.");
  await letGoOfOld(person);
  let row = await taken(person, visit);
  if (isStale(row) && navigator.onLine && !document.body.dataset.kept) {
    try {
      row = await takeAlong(person, address, ({ done, of }) => say(`Taking this visit along: ${done} of ${of} pages.`));
    } catch (error) {
      row = await taken(person, visit);
      if (!row?.isWhole) return say(`▲ This visit is not whole on this phone: ${error.message} It goes on when the page is opened again.`);
    }
  }
  return row ? say(await inWords(row)) : say("This visit is not on this phone yet.");
}
