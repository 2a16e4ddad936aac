// What became of the answers of this visit, at the head of the page: all sent, waiting, not sent, refused; unfolded, why.

import { momentInWords, shortMoment } from "../days.js";
import { counted, photographs } from "./counted.js";
import { sayAnew } from "./say_anew.js";

function paragraph(text) {
  const element = document.createElement("p");
  element.textContent = text;
  return element;
}

/** One touch to the log-in page and, from there, back to here, where what waits goes on by itself. */
function logInLink() {
  const line = paragraph("");
  const link = document.createElement("a");
  Object.assign(link, { href: `/log-in/?next=${encodeURIComponent(location.pathname)}`, textContent: "Log in" });
  line.append(link, ", and what waits goes on by itself.");
  return line;
}

function refusedItem(queue, entry) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  link.href = entry.act ? entry.href : `${entry.href}#point-${entry.answer.test_point}`;
  link.textContent = entry.label;
  const discard = document.createElement("button");
  Object.assign(discard, { type: "button", className: "button small", textContent: "Discard" });
  discard.setAttribute("aria-label", `Discard the answer at ${entry.label}`);
  discard.addEventListener("click", () => {
    if (confirm(`Discard the answer at ${entry.label}? It was not recorded.`)) queue.discard(entry);
  });
  item.append(link, `: ${[entry.words, entry.refused].filter(Boolean).join(" – ")} `, discard);
  return item;
}

function unfinishedPhoto(row) {
  const line = paragraph("▲ The photograph of ");
  line.append(Object.assign(document.createElement("a"), { href: row.page, textContent: row.label }), " is not finished: touch it there. It goes out as it is after an hour.");
  return line;
}

function refusedPhotoItem(queue, row) {
  const item = document.createElement("li");
  const link = Object.assign(document.createElement("a"), { href: row.page, textContent: row.label });
  const discard = document.createElement("button");
  Object.assign(discard, { type: "button", className: "button small", textContent: "Discard" });
  discard.setAttribute("aria-label", `Discard the photograph of ${row.label}`);
  discard.addEventListener("click", () => {
    if (confirm(`Discard the photograph of ${row.label}? It is not in the register.`)) queue.outbox.dropPhoto(row);
  });
  item.append(link, `: photograph, ${row.refused} `, discard);
  return item;
}

/** The state of the queue in a breath: {tone, glyph, word}. */
function inABreath({ refused, waiting, photosWaiting, photosRefused, photosUnfinished, isOnlyHere, problem, problemInABreath, allSentAt }) {
  const isRefused = refused.length + photosRefused.length;
  const numbers = [waiting.length || "", photographs(photosWaiting.length)].filter(Boolean).join(" · ");
  if (isOnlyHere) return { tone: "alarm", glyph: "■", word: `${waiting.length} on this page only` };
  if (isRefused) return { tone: "alarm", glyph: "■", word: [`${isRefused} refused`, numbers && `${numbers} waiting`].filter(Boolean).join(", ") };
  if (numbers && problem) return { tone: "attention", glyph: "▲", word: `${numbers} not sent: ${problemInABreath}` };
  if (numbers) return { tone: "attention", glyph: "▲", word: `${numbers} waiting` };
  if (photosUnfinished.length) return { tone: "attention", glyph: "▲", word: `${photographs(photosUnfinished.length)} not finished` };
  return { tone: "good", glyph: "●", word: allSentAt ? `all sent ${shortMoment(allSentAt)}` : "all sent" };
}

/** What the bar says when it is unfolded. */
function linesOf(queue) {
  const { refused, waiting, photosWaiting, photosRefused, photosUnfinished, problem } = queue;
  const lines = [];
  const held = counted(waiting.length, photosWaiting.length);
  if (held && problem) lines.push(paragraph(`▲ ${held} not sent yet. ${problem}${queue.needsLogIn ? "" : " Sending again by itself."}`));
  else if (held) lines.push(paragraph(`${held} on the way.`));
  if (photosWaiting.length) lines.push(paragraph("Photographs go after all answers; after a break they go on where they stood."));
  lines.push(...photosUnfinished.map(unfinishedPhoto));
  if (queue.isOnlyHere) lines.push(paragraph("■ This phone has no room to keep answers: leave this page open until they are sent, or write them down."));
  if (queue.needsLogIn) lines.push(logInLink());
  const notTaken = [...refused, ...photosRefused];
  if (!notTaken.length) {
    if (!held && !photosUnfinished.length) lines.push(paragraph(`All that was given on this phone is in the register${queue.allSentAt ? `, sent last ${momentInWords(queue.allSentAt)}` : ""}.`));
    return lines;
  }
  const verb = notTaken.length === 1 ? "was" : "were";
  lines.push(paragraph(`■ ${counted(refused.length, photosRefused.length)} ${verb} refused and kept on this phone. Open, change, record again:`));
  const list = document.createElement("ul");
  list.append(...refused.map((entry) => refusedItem(queue, entry)), ...photosRefused.map((row) => refusedPhotoItem(queue, row)));
  return [...lines, list];
}

/** Keep the bar up to date with the queue; `stateElement` makes a mark of {tone, glyph, word}. */
export function showQueue(fold, queue, stateElement) {
  fold.hidden = false;
  fold.querySelector("[data-sent]").replaceChildren(stateElement(inABreath(queue)));
  sayAnew(fold.querySelector("[data-queue-lines]"), linesOf(queue));
}
