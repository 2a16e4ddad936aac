// The walk as it stands with what was answered on this phone: counts and states of its stops, and where to go on.

import { stateElement } from "./card.js";
import { givenSince } from "./given.js";
import { showStoreys } from "./storeys.js";
import { taken } from "./taken_along.js";

/** Answers that the register took after a page was taken along at this moment: {answer, href, isFirst}. */
export async function sentAfter(keptAt, person, visit) {
  return keptAt ? givenSince(person, visit, keptAt) : [];
}

/** How many test points these answers add to those that are done. */
export function newlyDone(entries) {
  return new Set(entries.filter((entry) => entry.isFirst).map((entry) => entry.answer.test_point)).size;
}

export function stateOf({ done, total, failed, notAccessible }, outcomes) {
  if (failed) return { ...outcomes.fail, word: counted(failed, "fail") };
  if (done < total) return { tone: "attention", glyph: "▲", word: `${done} of ${total}` };
  return notAccessible ? { ...outcomes.not_accessible, word: "not accessible" } : { ...outcomes.pass, word: "done" };
}

const counted = (number, noun) => `${number} ${noun}${number === 1 ? "" : "s"}`;

/** How far a stop {total, done, failed, notAccessible} is: as the register said when its page was made, with what was given here on top. */
export function standing(stop, here) {
  const [total, done, failed, notAccessible] = [stop.total, stop.done, stop.failed, stop.notAccessible].map(Number);
  if (!here.length) return { total, done, failed, notAccessible }; // most of hundreds
  const answered = (outcome) => new Set(here.filter((entry) => entry.answer.outcome === outcome).map((entry) => entry.answer.test_point));
  return {
    total,
    done: Math.min(total, done + newlyDone(here)),
    failed: failed + answered("fail").size,
    notAccessible: notAccessible + answered("not_accessible").size,
  };
}

/** How a pin says it: a glyph, or how many of them while some are left. */
function showOnPin(pin, { done, total, failed }, state) {
  const mark = pin.querySelector(".pin-state");
  mark.textContent = done < total && !failed ? `${done}/${total}` : state.glyph;
  mark.setAttribute("class", `pin-state ${state.tone}`);
  const said = `${pin.dataset.said}, ${state.word}`;
  pin.querySelector("a").setAttribute("aria-label", said);
  pin.querySelector("title").textContent = said;
}

/** How much of a storey is left, on the page of its plan. */
function showRemaining(entries) {
  const line = document.querySelector("[data-remaining]");
  if (!line) return;
  const left = Math.max(0, Number(line.dataset.remaining) - newlyDone(entries));
  line.textContent = `${left} of ${line.dataset.of} remaining`;
}

let isShown = false; // whether anything on this page was brought up to date
const asMade = new WeakMap(); // as the register made it, each row that something was shown in

/** Bring the rows of the walk, their storeys, or the pins of a plan, up to date with what was given here. */
export function showStops(entries, outcomes) {
  if (!entries.length && !isShown && !location.search) return; // it stands as the register made it
  isShown = true;
  const byPage = new Map();
  for (const entry of entries) byPage.set(entry.href, [...(byPage.get(entry.href) ?? []), entry]);
  const shown = [];
  const stops = new Map();
  for (const row of document.querySelectorAll(".stops > [data-total], .plan-pin[data-total]")) {
    const here = (byPage.size && byPage.get(new URL(row.querySelector("a").getAttribute("href"), location.href).pathname)) || [];
    const stop = standing(row.dataset, here);
    stops.set(row, stop);
    if (!here.length) {
      if (asMade.has(row)) row.innerHTML = asMade.get(row); // what was shown here does not stand
      asMade.delete(row);
      continue;
    }
    if (!asMade.has(row)) asMade.set(row, row.innerHTML);
    shown.push(...here);
    const state = stateOf(stop, outcomes);
    if (row.matches(".plan-pin")) showOnPin(row, stop, state);
    else row.querySelector(".stop-state").replaceChildren(stateElement(state));
  }
  showStoreys(stops, outcomes);
  showRemaining(shown);
}

/** The next stop with something open, after this page and then from the start: {url, tag}, or null; only of a visit taken along. */
export async function nextStop(queue, person, visit) {
  const row = await taken(person, visit);
  if (!row?.isWhole) return null;
  const answered = new Set([...(await givenSince(person, visit)), ...queue.waiting].map((entry) => entry.answer.test_point));
  const here = row.stops.findIndex((stop) => stop.url === location.pathname);
  const onwards = [...row.stops.slice(here + 1), ...row.stops.slice(0, here + 1)];
  return onwards.find((stop) => stop.url !== location.pathname && stop.open.some((point) => !answered.has(point))) ?? null;
}
