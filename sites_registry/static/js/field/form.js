// The field form: judges readings as they are typed and hands answers to the queue. Without it the forms still work.

import { answerOf, fillIn, missingIn } from "./answer.js";
import { cardOf, inWords, remember, showRecorded, showRefused, stateElement, tell } from "./card.js";
import { RegisterClock } from "./clock.js";
import { Drafts } from "./drafts.js";
import { judge, limitsWith, passRefusal, readingOf } from "./judge.js";
import { figuresIn, fillInFigures, keepFigures } from "./plate_figures.js";
import { AnswerQueue } from "./queue.js";
import { showQueue } from "./queue_line.js";
import { BrowserStore } from "./store.js";
import { stateTogether } from "./together.js";

const data = JSON.parse(document.getElementById("field-data").textContent);
const points = new Map(data.points.map((point) => [point.id, point]));
const clock = new RegisterClock();
const queue = new AnswerQueue({
  url: data.answers_url,
  person: data.person.id,
  clock,
  store: new BrowserStore({ person: data.person.id, name: data.person.name, visit: data.visit, at: data.visit_name, href: data.visit_url }),
});
const drafts = new Drafts({ person: data.person.id, visit: data.visit });
const line = document.querySelector("[data-queue]");

function wordOf(answer) {
  return data.outcomes[answer.outcome]?.word ?? "";
}

function toNextOpen(card) {
  const following = [...document.querySelectorAll(".point")].filter(
    (other) => !("done" in other.dataset) && card.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING,
  );
  following[0]?.scrollIntoView({ block: "start", behavior: "smooth" });
}

function record(form, isAlone = true) {
  const point = points.get(Number(form.elements.test_point.value));
  const answer = answerOf(form, point, clock);
  const card = cardOf(point.id);
  const missing = missingIn(answer, point, data.visit_state === "finished");
  tell(card, missing?.message ?? "");
  if (missing) {
    const input = form.querySelector(`[name="${missing.name}"]`);
    if (missing.name !== "outcome") input?.focus();
    return;
  }
  drafts.drop(point);
  keepFigures(point, answer.figures ?? {});
  for (const other of document.querySelectorAll("form[data-answer]")) showWithFigures(other);
  showRecorded(card, answer, point, data.outcomes[answer.outcome], false);
  if (isAlone) toNextOpen(card);
  const words = inWords(answer, point, wordOf(answer));
  queue.add(answer, { label: `${point.tag}, ${point.title}`, words });
}

function showJudgement(form) {
  const point = points.get(Number(form.elements.test_point.value));
  const judged = form.querySelector("[data-judged]");
  if (!judged) return;
  const text = form.elements.reading.value;
  const figures = figuresIn(form);
  if (Object.keys(figures).length) cardOf(point.id).querySelector("[data-limits]").textContent = limitsWith(point, figures);
  const verdict = judge(point, text, figures);
  judged.replaceChildren(...(verdict ? [stateElement({ ...verdict, word: verdict.text })] : []));
  const reading = readingOf(text);
  const pass = form.querySelector('[name="outcome"][value="pass"]');
  pass.disabled = reading !== null && !Number.isNaN(reading) && Boolean(passRefusal(point, reading, figures));
  if (pass.disabled && pass.checked) pass.checked = false;
}

function showWithFigures(form) {
  fillInFigures(form, points.get(Number(form.elements.test_point.value)));
  showJudgement(form);
}

for (const form of document.querySelectorAll("form[data-answer]")) {
  const point = points.get(Number(form.elements.test_point.value));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    record(form);
  });
  form.addEventListener("input", () => {
    showJudgement(form);
    if (!cardOf(point.id).classList.contains("is-sending")) drafts.keep(form, point);
  });
  let passed = false;
  form.addEventListener("click", (event) => {
    if (event.target.name !== "outcome") return;
    const isAgain = passed;
    passed = event.target.value === "pass";
    // A plain pass is one touch, unless there is something left to say.
    const asksMore = point.is_done || data.visit_state === "finished" || form.querySelector('[name="closes"]');
    if (!passed || asksMore) return;
    const lacksReading = point.quantity && !form.elements.reading.value.trim();
    if (!lacksReading || (isAgain && !point.is_reading_required)) return record(form);
    form.elements.reading.focus();
    const orNone = point.is_reading_required ? "" : ", or once more without one";
    tell(cardOf(point.id), `Enter the ${point.quantity} in ${point.unit || "figures"}, then touch pass again${orNone}.`);
  });
  drafts.putBack(form, point);
  showWithFigures(form);
}

const together = document.querySelector("[data-together]");
const showTogether = together && data.visit_state === "under_way" ? stateTogether(together, points, (form) => record(form, false)) : () => {};

function refuse(card, answer, message) {
  const form = card.querySelector("form");
  if (form) {
    fillIn(form, answer);
    showJudgement(form);
  }
  showRefused(card, answer, points.get(answer.test_point), wordOf(answer), message);
}

queue.addEventListener("verdict", ({ detail: { verdict, entry, progress } }) => {
  showProgress(progress);
  const card = cardOf(entry.answer.test_point);
  if (!card) return;
  if (verdict.fate === "refused") {
    refuse(card, entry.answer, verdict.message);
    card.scrollIntoView({ block: "start" });
    return;
  }
  const point = points.get(entry.answer.test_point);
  showRecorded(card, entry.answer, point, data.outcomes[entry.answer.outcome], true);
  remember(card, entry.answer, point);
  const form = card.querySelector("form");
  form.reset();
  showJudgement(form);
  showTogether();
  for (const note of verdict.notes) card.querySelector("[data-recorded]").append(document.createElement("br"), note);
});

queue.addEventListener("discard", ({ detail: { entry } }) => {
  if (cardOf(entry.answer.test_point)) location.reload();
});

function showProgress({ done, total }) {
  const bar = document.querySelector("[data-progress]");
  if (bar) Object.assign(bar, { max: total, value: done });
  const text = document.querySelector("[data-progress-text]");
  if (text) text.textContent = `${done} of ${total} test points`;
  const short = document.querySelector("[data-progress-short]");
  if (short) short.textContent = `${done} / ${total}`;
}

// What this phone still holds from before the page was loaded stands in its cards again.
for (const { answer, refused } of queue.entries) {
  const card = cardOf(answer.test_point);
  const point = points.get(answer.test_point);
  if (!card || !point) continue;
  if (refused) refuse(card, answer, refused);
  else {
    showRecorded(card, answer, point, data.outcomes[answer.outcome], false);
    remember(card, answer, point);
  }
}

queue.addEventListener("change", () => showQueue(line, queue));
addEventListener("beforeunload", (event) => {
  if (queue.waiting.length && queue.problem) event.preventDefault();
});

// Leaving for another position waits a moment for what is on its way, so that the next page counts it.
document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[data-after-sending]");
  if (!link || !queue.waiting.length || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  await Promise.race([queue.send(), new Promise((resolve) => setTimeout(resolve, 1500))]);
  location.href = link.href;
});

showQueue(line, queue);
queue.send();
