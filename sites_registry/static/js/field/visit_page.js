// What the pages of a visit have in common: the queue of its answers, what was given since the page was made, how far the
// visit is, and the bar at the head. On top of it stand the tests of a position (form.js) and the walk (walk_page.js).

import { stateElement } from "./card.js";
import { AnswerQueue } from "./queue.js";
import { showQueue } from "./queue_line.js";
import { newlyDone, sentAfter, showStops } from "./walk.js";

const AT_THE_LATEST_MS = 1000;

export const data = JSON.parse(document.getElementById("field-data").textContent);
const sentBefore = sentAfter(document.body.dataset.kept, data.person.id, data.visit);
export const queue = await AnswerQueue.open(data.person.id, {
  visit: data.visit,
  name: data.person.name,
  at: data.visit_name,
  href: data.visit_url,
  url: data.answers_url,
  starts: data.starts,
  logIn: data.log_in,
});
/** Answers that the register has and a page taken along does not show. */
export let sentSince = await sentBefore;
/** `isUnderWay`: the person has touched a way out since the last answer; it is theirs to say where to. */
export const leaving = { isUnderWay: false };
const recordedHere = new Set(); // test points whose answers the register took while this page is open
const given = new Map(); // by UUID, what the list of stops shows
const fold = document.querySelector("[data-queue]");

/** What nobody sees at first, once the page stands: a slow phone shows it sooner. */
export function onceItStands(act) {
  if (window.requestIdleCallback) requestIdleCallback(act, { timeout: AT_THE_LATEST_MS });
  else setTimeout(act, AT_THE_LATEST_MS / 10);
}

/** The test points that were answered on this phone and are open on the page as it was made. */
export function answered() {
  return new Set([...recordedHere, ...[...sentSince, ...queue.waiting].map((entry) => entry.answer.test_point)]);
}

/** The stops with what was given here, waiting or taken while this page is open. */
export function showGiven() {
  for (const entry of [...sentSince, ...queue.waiting]) given.set(entry.answer.client_uuid, entry);
  showStops([...given.values()], data.outcomes);
}

export function forgetGiven(answers) {
  for (const { client_uuid: uuid } of answers) given.delete(uuid);
  showGiven();
}

function doneInAll() {
  const { done, total } = data.progress;
  return Math.min(total, done + newlyDone([...sentSince, ...queue.waiting]));
}

/** How far the visit is: as the register said last, and what waits here on top of it. */
function showProgress() {
  const { total } = data.progress;
  const counted = doneInAll();
  const bar = document.querySelector("[data-progress]");
  if (bar) Object.assign(bar, { max: total, value: counted });
  document.querySelector("[data-progress-text]").textContent = `${counted} of ${total}`;
}

queue.addEventListener("verdict", ({ detail: { verdict, entry, progress } }) => {
  if (progress) {
    data.progress = progress;
    sentSince = [];
    showProgress();
  }
  if (verdict.fate !== "refused") recordedHere.add(entry.answer.test_point);
  else if (given.delete(entry.answer.client_uuid)) showGiven();
});

queue.addEventListener("change", () => {
  showQueue(fold, queue, stateElement);
  showProgress();
});

addEventListener("beforeunload", (event) => {
  leaving.isUnderWay = true;
  if (queue.isNotOnDisk) event.preventDefault(); // all else is on this phone and goes out from any page
});

// Leaving for another position waits a moment for what is on its way, so that the next page counts it.
document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[data-after-sending]");
  if (!link || link.hash && link.pathname === location.pathname || !queue.waiting.length || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  leaving.isUnderWay = true;
  await Promise.race([queue.send(), new Promise((resolve) => setTimeout(resolve, 1500))]);
  location.href = link.href;
});

showGiven();
showProgress();
showQueue(fold, queue, stateElement);
onceItStands(() => queue.send());
onceItStands(() => import("./keeping.js").then(keepIt, () => {})); // the page is left, or the network: the next page does

function keepIt({ keepThisVisit }) {
  keepThisVisit({ person: data.person.id, visit: data.visit, address: data.along_url, line: document.querySelector("[data-kept-words]") });
}
