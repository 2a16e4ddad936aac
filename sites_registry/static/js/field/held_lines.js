// Says which answers wait on this phone, sends those of who is logged in, and tells who has to log in for the others.

import { isToday, shortMoment } from "../days.js";
import { stateElement } from "./card.js";
import { counted } from "./counted.js";
import { outboxOf } from "./outbox.js";
import { sayAnew } from "./say_anew.js";

const place = document.querySelector("[data-held]");
const person = Number(document.body.dataset.person);
const visitHere = Number(place.dataset.held); // the bar of a visit's own pages tells of its answers
const outbox = await outboxOf(person);

/** How many of these rows are answers, and how many photographs. */
const countedIn = (rows) => counted(rows.filter((row) => row.entry).length, rows.filter((row) => row.blob).length);
const isRefused = (row) => Boolean(row.refused ?? row.entry?.refused);

function paragraph(...nodes) {
  const line = document.createElement("p");
  line.append(...nodes);
  return line;
}

function link(href, textContent) {
  return Object.assign(document.createElement("a"), { href, textContent });
}

/** [[rows of one key]] */
function grouped(rows, keyOf) {
  const groups = new Map();
  for (const row of rows) groups.set(keyOf(row), [...(groups.get(keyOf(row)) ?? []), row]);
  return [...groups.values()];
}

function own(rows) {
  const { at, href } = rows[0];
  const [refused, waiting] = [rows.filter(isRefused), rows.filter((row) => !isRefused(row))];
  const lines = [];
  if (waiting.length) {
    const problem = outbox.problem ? ` ${outbox.problem}${outbox.needsLogIn ? "" : " Sending again by itself."}` : " · sending";
    const verb = waiting.length === 1 ? "waits" : "wait";
    lines.push(paragraph(`▲ ${countedIn(waiting)} of yours ${verb} on this phone, not recorded: ${at}.${problem} `, link(href, "Open the visit"), "."));
  }
  if (refused.length) lines.push(paragraph(`■ ${countedIn(refused)} of yours ${refused.length === 1 ? "was" : "were"} refused and kept on this phone: ${at}. `, link(href, "Open the visit to mend"), "."));
  return lines;
}

/** How many and whose, and not a word of where: who takes the phone next is told no more. */
function ofAnother(rows) {
  const { name } = rows[0];
  const isOne = rows.length === 1;
  return paragraph(
    `▲ ${countedIn(rows)} of ${name} wait${isOne ? "s" : ""} on this phone, not recorded. ` +
      `${isOne ? "It goes" : "They go"} out when ${name} is logged in on this phone, never under another name.`,
  );
}

function show() {
  const mine = [...outbox.rows, ...outbox.photos].filter((row) => row.visit !== visitHere);
  const others = [...outbox.others, ...outbox.photosOfOthers];
  const lines = [...grouped(mine, ({ visit }) => visit).flatMap(own), ...grouped(others, ({ person: author }) => author).map(ofAnother)];
  const isWarning = lines.length > 0;
  if (!mine.length && !visitHere && outbox.allSentAt && isToday(outbox.allSentAt)) lines.push(paragraph(stateElement({ tone: "good", glyph: "●", word: `All sent ${shortMoment(outbox.allSentAt)}` })));
  if (outbox.needsLogIn && mine.length) lines.push(paragraph(link(`/log-in/?next=${encodeURIComponent(location.pathname)}`, "Log in"), ", and what waits goes on by itself."));
  place.classList.toggle("message", isWarning);
  place.classList.toggle("warning", isWarning);
  place.hidden = !lines.length;
  sayAnew(place, lines);
}

outbox.addEventListener("change", show);
show();
if (person && outbox.isAnythingWaiting) outbox.send();
