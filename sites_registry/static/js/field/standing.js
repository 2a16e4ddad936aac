// How a visit stands as it is signed off, with what was given on this phone and is not on the page: the numbers that
// are signed for, what has no outcome yet (nobody is asked to sign before that), and what was found.

import { stateElement } from "./card.js";
import { outboxOf } from "./outbox.js";
import { sentAfter } from "./walk.js";

const data = JSON.parse(document.getElementById("standing-data").textContent);
const OF_SWAP = /\/(\d+)\/swap\/$/;
const counted = (number, noun) => `${number} ${noun}${number === 1 ? "" : "s"}`;

/** What is given here changes of how the visit stood on the page: {outcomes: point → outcome, fails: point → entry, closed: defects, retests: entries}. */
function standsWith(entries) {
  const stands = { outcomes: new Map(data.points.map(([point, , outcome]) => [point, outcome])), fails: new Map(), closed: new Set(), retests: [] };
  for (const entry of entries) if (entry.act) takeAct(stands, entry);
  else takeAnswer(stands, entry);
  stands.retests = stands.retests.filter(({ points }) => points.some((point) => !stands.outcomes.get(point)));
  return stands;
}

function takeAnswer({ outcomes, fails, closed }, entry) {
  const { test_point: point, outcome, closes_fails: closesFails, closes } = entry.answer;
  if (!outcomes.has(point)) return;
  outcomes.set(point, outcome);
  if (outcome === "fail") fails.set(point, entry);
  else if (closesFails) fails.delete(point);
  for (const defect of closes ?? []) closed.add(defect);
}

/** After a swap the tests of its position are done again. */
function takeAct({ outcomes, retests }, entry) {
  const position = Number(OF_SWAP.exec(entry.act.of)?.[1]);
  if (!position) return;
  const points = data.points.filter(([, place]) => place === position).map(([point]) => point);
  for (const point of points) outcomes.set(point, null);
  retests.push({ entry, position, points });
}

const isImpairedBy = ({ act, answer }) => (act ? act.fields.some(([, value]) => value === "impaired") : answer.defect?.severity === "impaired");

function showNumbers({ outcomes }, impaired) {
  const numbers = [...outcomes.values()].reduce((sums, outcome) => sums.set(outcome, (sums.get(outcome) ?? 0) + 1), new Map());
  const states = [...Object.entries(data.outcomes), [null, data.without_outcome]];
  const lines = states.filter(([outcome]) => numbers.has(outcome)).map(([outcome, state]) => [state, numbers.get(outcome)]);
  if (impaired) lines.push([data.impaired_open, impaired]);
  const items = lines.map(([state, number]) => {
    const item = document.createElement("li");
    item.append(stateElement(state), ` ${number}`);
    return item;
  });
  document.querySelector("[data-numbers]").replaceChildren(...items);
}

function showOpen({ outcomes, retests }, number) {
  document.querySelector("[data-open]").hidden = !number;
  document.querySelector("[data-open-words]").textContent = `${counted(number, "test point")} without an outcome`;
  for (const row of document.querySelectorAll("[data-open-points]")) {
    const left = row.dataset.openPoints.trim().split(" ").filter((point) => !outcomes.get(Number(point)));
    row.hidden = !left.length;
    row.querySelector(".stop-state").textContent = `${left.length} open`;
  }
  const line = document.querySelector("[data-retests]");
  line.hidden = !retests.length;
  line.replaceChildren(...retests.flatMap(({ entry, position }) => {
    const link = Object.assign(document.createElement("a"), { href: `${data.field_url}${position}/`, textContent: "Test it again" });
    return [`▲ ${entry.label}: kept on this phone, and its tests are to be done again. `, link, ". "];
  }));
}

function defectItem({ label, href, answer: { test_point: point, defect } }) {
  const item = document.createElement("li");
  item.dataset.foundHere = "";
  const link = Object.assign(document.createElement("a"), { href: `${href}#point-${point}`, textContent: label });
  const meanwhile = defect.interim_measure ? ` Meanwhile: ${defect.interim_measure}` : "";
  const told = defect.told_to ? ` Told: ${defect.told_to}` : "";
  item.append(stateElement(data.severities[defect.severity]), " ", link, `: ${defect.description}${meanwhile}${told}`);
  return item;
}

function showDefects({ fails, closed }) {
  const section = document.querySelector("[data-defects]");
  if (!section) return;
  for (const item of section.querySelectorAll("[data-defect]")) item.hidden = closed.has(Number(item.dataset.defect));
  for (const item of section.querySelectorAll("[data-found-here]")) item.remove();
  section.querySelector("ul").append(...[...fails.values()].map(defectItem));
  section.hidden = !section.querySelector("li:not([hidden])");
}

function showNotSent(number, impairedHere) {
  const line = document.querySelector("[data-not-sent]");
  line.hidden = !number;
  const notice = impairedHere ? " The notice of an impaired point found here cannot be printed before that: read out what does not work and what holds meanwhile, and write it down for the building." : "";
  line.textContent = `▲ ${counted(number, "answer")} of these ${number === 1 ? "is" : "are"} kept on this phone, and sent before the sign-off.${notice}`;
}

/** Follows the phone: `onChange` hears {isAsked, impaired} whenever what stands here has changed. */
export async function followStanding(onChange) {
  const outbox = await outboxOf(data.person);
  const sent = await sentAfter(document.body.dataset.kept, data.person, data.visit);
  const show = () => {
    const waiting = outbox.waiting.filter((row) => row.visit === data.visit).map((row) => row.entry);
    const here = [...sent, ...waiting];
    const stands = standsWith(here);
    const left = [...stands.outcomes.values()].filter((outcome) => !outcome).length;
    const ofPage = document.querySelectorAll("[data-defect][data-impaired]");
    const impairedHere = [...stands.fails.values(), ...waiting.filter(({ act }) => act)].filter(isImpairedBy).length;
    const impaired = impairedHere + [...ofPage].filter((item) => !stands.closed.has(Number(item.dataset.defect))).length;
    showNumbers(stands, impaired);
    showOpen(stands, left);
    showDefects(stands);
    showNotSent(waiting.filter(({ act }) => !act).length, impairedHere);
    onChange({ isAsked: data.is_asked && !left, impaired });
  };
  outbox.addEventListener("verdict", ({ detail: { verdict, row } }) => {
    if (row.visit !== data.visit || verdict.fate === "refused") return;
    sent.push(row.entry);
    show();
  });
  outbox.addEventListener("change", show);
  show();
}

/** What the sign-off asks, by field, in the words of the register. */
export const { lacks, least_reach_px: leastReachPx } = data;
