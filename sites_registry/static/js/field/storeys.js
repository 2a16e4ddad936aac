// The storeys of the walk as they stand with what was answered on this phone, and of their stops those that were asked for.

import { stateElement } from "./card.js";

/** Whether a stop is shown under a head of the list: the same as the register shows there. */
const ASKED = {
  remaining: ({ done, total }) => done < total,
  fail: ({ failed }) => failed > 0,
  not_accessible: ({ notAccessible }) => notAccessible > 0,
};

function sumOf(stops, what) {
  return stops.reduce((sum, stop) => sum + stop[what], 0);
}

/** The worst that its line must not hide; nothing where the count alone has something to say. */
function stateOfStorey({ done, total, failed, notAccessible }, outcomes) {
  if (failed) return { ...outcomes.fail, word: `${failed} fail${failed === 1 ? "" : "s"}` };
  if (done < total) return null;
  return notAccessible ? { ...outcomes.not_accessible, word: `${notAccessible} not accessible` } : { ...outcomes.pass, word: "done" };
}

function showStorey(storey, stops, outcomes) {
  const sums = Object.fromEntries(["done", "total", "failed", "notAccessible"].map((what) => [what, sumOf(stops, what)]));
  storey.querySelector("[data-storey-count]").textContent = `${sums.done} of ${sums.total}`;
  if ("contradicted" in storey.dataset) return; // stands until the register says otherwise
  const state = stateOfStorey(sums, outcomes);
  storey.querySelector("[data-storey-state]").replaceChildren(...(state ? [stateElement(state)] : []));
}

/** A page that was taken along holds the whole walk, whatever part of it its address asks for. */
function showOnlyAsked(stops) {
  const show = new URLSearchParams(location.search).get("show") ?? "";
  for (const tab of document.querySelectorAll("[data-shows]"))
    if (tab.dataset.shows === show) tab.setAttribute("aria-current", "page");
    else tab.removeAttribute("aria-current");
  const isAsked = ASKED[show];
  if (!isAsked) return;
  for (const [row, stop] of stops) row.hidden = !isAsked(stop);
  const storeys = [...document.querySelectorAll("details.storey")];
  for (const storey of storeys) {
    storey.hidden = !storey.querySelector(".stops > li:not([hidden])");
    storey.open = true;
  }
  document.querySelector("[data-no-match]").hidden = storeys.some((storey) => !storey.hidden);
}

/** `stops` says of each row of the walk how far it is. */
export function showStoreys(stops, outcomes) {
  const storeys = document.querySelectorAll("details.storey");
  for (const storey of storeys)
    showStorey(storey, [...storey.querySelectorAll(".stops > li")].map((row) => stops.get(row)), outcomes);
  if (storeys.length) showOnlyAsked(stops);
}
