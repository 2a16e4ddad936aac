// The field form: judges readings as they are typed and hands answers to the queue. Without it the forms still work.

import { answerOf, fillIn, missingIn } from "./answer.js";
import { cardOf, forget, inWords, remember, showRecorded, showRefused, stateElement, tell } from "./card.js";
import { Drafts } from "./drafts.js";
import { judge, limitsWith } from "./judge.js";
import "./known.js";
import { LastAnswer } from "./last_answer.js";
import { ask, outcomeInput, passAsks, passLacks } from "./outcomes.js";
import { figuresIn, fillInFigures, keepFigures } from "./plate_figures.js";
import { takePhotographs } from "./photographs.js";
import { beginWith, currentScreen, followTheAddress, show } from "./screen.js";
import { stayAwake, watchStrokes } from "./stop_watch.js";
import { stateTogether } from "./together.js";
import { data, leaving, queue, sentSince } from "./visit_page.js";
import { nextStop } from "./walk.js";

const points = new Map(data.points.map((point) => [point.id, point]));
const { clock } = queue;
const drafts = new Drafts({ person: data.person.id, visit: data.visit });
const last = new LastAnswer({ person: data.person.id, visit: data.visit, queue, onUndo: undo });
let keeping = null; // the answer given last, until it is on disk
const isFinished = data.visit_state === "finished";

const wordOf = (answer) => data.outcomes[answer.outcome]?.word ?? "";
const pointOf = (form) => points.get(Number(form.elements.test_point.value));
const formOf = (card) => card.querySelector("form[data-answer]");
const isOpen = (card) => !("done" in card.dataset);

function record(form) {
  const point = pointOf(form);
  const answer = answerOf(form, point, clock);
  const card = cardOf(point.id);
  const missing = missingIn(answer, point, isFinished);
  tell(card, missing?.message ?? "");
  if (missing) {
    if (!form.dataset.asking) ask(form, "");
    if (missing.name !== "outcome") form.querySelector(`[name="${missing.name}"]`)?.focus();
    return null;
  }
  leaving.isUnderWay = false;
  drafts.drop(point);
  form.reset();
  ask(form, "");
  delete form.dataset.touched;
  keepFigures(point, answer.figures ?? {});
  for (const other of document.querySelectorAll("form[data-answer]")) showWithFigures(other);
  const isFirst = !point.is_done;
  remember(card, answer, point);
  showRecorded(card, answer, point, data.outcomes[answer.outcome], false);
  keeping = queue.add(answer, { label: `${point.tag}, ${point.title}`, words: inWords(answer, point, wordOf(answer)), isFirst });
  return answer;
}

/** Record, and go on to the next test. */
function recordAlone(form) {
  const answer = record(form);
  if (!answer) return;
  const point = pointOf(form);
  const words = inWords(answer, point);
  last.tell({ answers: [answer], label: `${point.tag}, ${point.title}`, state: data.outcomes[answer.outcome], words, notes: [], href: location.pathname });
  goOn(cardOf(point.id));
}

/** Record a pass at each point that is stated together; one "Undo" takes them all back. */
function recordTogether(forms) {
  last.tell(null);
  for (const form of forms) {
    outcomeInput(form).value = "pass";
    const answer = record(form);
    if (!answer) continue;
    const point = pointOf(form);
    if (last.told) last.add(answer);
    else last.tell({ answers: [answer], label: `${point.tag}, ${point.title}`, state: data.outcomes.pass, words: "", notes: [], href: location.pathname });
  }
  goOn(null);
}

function goOn(card) {
  const open = [...document.querySelectorAll(".point[data-point]")].filter(isOpen);
  const following = card && open.find((other) => card.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING);
  show(following ? following.id : "here");
  if (!open.length) leaveWhenSent();
}

/** Go on to the next position: once nothing waits here, or at once where the visit was taken along. */
async function leaveWhenSent() {
  await keeping;
  if (navigator.onLine) await queue.send();
  if (queue.isOnlyHere) return; // the next page would not have it
  const isWaiting = queue.waiting.length > 0 || "kept" in document.body.dataset;
  const next = isWaiting ? (await nextStop(queue, data.person.id, data.visit))?.url : document.querySelector("[data-next]")?.href;
  const isRefused = queue.refused.some((entry) => cardOf(entry.answer.test_point));
  if (next && !isRefused && !leaving.isUnderWay && last.told && currentScreen().id === "here") location.assign(next);
}

/** Bring the tests of the last answer back: never sent, it is taken back; else it stands until another takes its place. */
async function undo({ answers, ...told }) {
  if (!cardOf(answers[0].test_point) && !navigator.onLine)
    return last.tell({ ...told, answers, notes: ["its test is on another page, which needs the network"] });
  const back = [];
  for (const answer of answers) back.push({ answer, isTakenBack: await queue.takeBack({ answer }) });
  if (!cardOf(answers[0].test_point)) {
    last.tell({ ...told, answers, isUndone: true });
    return location.assign(`${told.href}#point-${answers[0].test_point}`);
  }
  last.tell(null);
  back.forEach(({ answer, isTakenBack }) => reopen(answer, isTakenBack));
  showTogether();
  show(`point-${answers[0].test_point}`);
}

function reopen(answer, isTakenBack) {
  const card = cardOf(answer.test_point);
  const point = points.get(answer.test_point);
  const form = card && formOf(card);
  if (!form) return;
  if (isTakenBack) forget(card, answer, point);
  if (!isOpen(card)) card.dataset.changing = "";
  fillIn(form, answer);
  ask(form, "");
  drafts.keep(form, point);
  showJudgement(form);
}

function showJudgement(form) {
  const point = pointOf(form);
  form.querySelector("[data-lacks]").textContent = passLacks(form, point);
  form.querySelector("[data-record-lacks]").textContent = missingIn(answerOf(form, point, clock), point, isFinished)?.message ?? "";
  const judged = form.querySelector("[data-judged]");
  if (!judged) return;
  const text = form.elements.reading.value;
  const figures = figuresIn(form);
  if (Object.keys(figures).length) {
    const { words, source } = limitsWith(point, figures);
    form.querySelector("[data-limits-words]").textContent = words;
    form.querySelector("[data-limits-source]").textContent = source;
    form.querySelector(".reading").classList.remove("no-limits");
  }
  const verdict = judge(point, text, figures);
  judged.replaceChildren(...(verdict ? [stateElement({ ...verdict, word: verdict.text })] : []));
}

function showWithFigures(form) {
  fillInFigures(form, pointOf(form));
  showJudgement(form);
}

/** Ask in place what this outcome needs before it can be recorded. */
function askFor(form, outcome) {
  ask(form, outcome, data.outcomes[outcome].word);
  showJudgement(form);
}

/** An outcome was touched: a plain pass is one touch, unless there is something left to say. */
function choose(form, outcome) {
  const point = pointOf(form);
  const card = cardOf(point.id);
  const isAgain = form.dataset.touched === outcome;
  form.dataset.touched = outcome;
  tell(card, "");
  if (outcome === "pass" && point.quantity && !form.elements.reading.value.trim() && (point.is_reading_required || !isAgain)) {
    form.elements.reading.focus();
    const orNone = point.is_reading_required ? "" : ", or once more without one";
    return tell(card, `Enter the ${point.quantity} in ${point.unit || "figures"}, then touch pass again${orNone}.`);
  }
  outcomeInput(form).value = outcome;
  if (outcome === "pass" && !passAsks(form, point, isFinished)) return recordAlone(form);
  askFor(form, outcome);
  drafts.keep(form, point);
  form.querySelector(".questions").scrollIntoView({ block: outcome === "fail" ? "start" : "nearest" });
  [...form.querySelectorAll(".questions textarea")].find((field) => field.offsetParent && outcome !== "fail")?.focus();
}

const acts = {
  "[data-record]": (form) => recordAlone(form),
  "[data-other-outcome]": (form) => {
    tell(cardOf(pointOf(form).id), "");
    ask(form, "");
    drafts.keep(form, pointOf(form));
  },
  "[data-change]": (form) => (cardOf(pointOf(form).id).dataset.changing = ""),
  "button[name=outcome]": (form, button) => choose(form, button.value),
};

for (const form of document.querySelectorAll("form[data-answer]")) {
  const point = pointOf(form);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("click", (event) => {
    const [of, act] = Object.entries(acts).find(([selector]) => event.target.closest(selector)) ?? [];
    if (!act) return;
    event.preventDefault();
    if (event.detail < 2) act(form, event.target.closest(of)); // the second of two quick touches was none
  });
  form.addEventListener("input", () => {
    if (form.dataset.touched) tell(cardOf(point.id), ""); // it spoke of what stood there; what the register refused stays
    showJudgement(form);
    drafts.keep(form, point);
  });
  // "Done" on the keyboard puts it away.
  form.addEventListener("keydown", (event) => event.key === "Enter" && event.target.matches("input") && event.target.blur());
  watchStrokes(form);
  const isTyped = drafts.putBack(form, point);
  if (isTyped && point.is_done) cardOf(point.id).dataset.changing = "";
  if (outcomeInput(form).value) askFor(form, outcomeInput(form).value);
  showWithFigures(form);
}

const together = document.querySelector("[data-together]");
const showTogether = together && data.visit_state === "under_way" ? stateTogether(together, points, recordTogether) : () => {};

function refuse(card, answer, message) {
  const form = formOf(card);
  const point = points.get(answer.test_point);
  forget(card, answer, point);
  if (form) {
    delete form.dataset.touched;
    fillIn(form, answer);
    if (answer.outcome !== "pass" || passAsks(form, point, isFinished)) askFor(form, answer.outcome);
    else ask(form, "");
    showJudgement(form);
  }
  showRefused(card, answer, point, wordOf(answer), message);
}

queue.addEventListener("verdict", ({ detail: { verdict, entry } }) => {
  const card = cardOf(entry.answer.test_point);
  last.note(entry.answer, verdict.notes);
  if (!card) return;
  if (verdict.fate === "refused") {
    refuse(card, entry.answer, verdict.message);
    if (!document.activeElement.matches("input, textarea")) show(card.id); // who is typing is not torn away: the bar says it too
    return;
  }
  const point = points.get(entry.answer.test_point);
  remember(card, entry.answer, point);
  showRecorded(card, entry.answer, point, data.outcomes[entry.answer.outcome], true);
  showTogether();
  for (const note of verdict.notes) card.querySelector("[data-recorded]").append(document.createElement("br"), note);
});

queue.addEventListener("discard", ({ detail: { entry } }) => {
  if (cardOf(entry.answer.test_point)) location.reload();
});

// What this phone still holds from before the page was loaded stands in its cards again.
for (const { answer, refused } of [...sentSince, ...queue.entries]) {
  const card = cardOf(answer.test_point);
  const point = points.get(answer.test_point);
  if (!card || !point) continue;
  if (refused) refuse(card, answer, refused);
  else {
    remember(card, answer, point);
    showRecorded(card, answer, point, data.outcomes[answer.outcome], sentSince.some((one) => one.answer === answer));
  }
}

/** Forms of this position that are on this phone, as a swap: the page still shows what was before them. */
function showKeptForms() {
  const line = document.querySelector("[data-kept-forms]");
  if (!line) return;
  const forms = queue.entries.filter(({ act }) => act?.of.startsWith(location.pathname));
  const said = ({ act, label, refused }) => {
    const serial = act.fields.find(([name]) => name === "new_serial")?.[1];
    return `${refused ? "■" : "▲"} ${label}${serial ? `, new serial ${serial}` : ""}: ${refused ? "refused" : "kept on this phone, not sent yet"}.`;
  };
  line.textContent = forms.map(said).join(" ");
  line.hidden = !forms.length;
}

queue.addEventListener("change", showKeptForms);
showKeptForms();
takePhotographs(data, queue);
if (last.told?.isUndone) {
  const told = { ...last.told, isUndone: false };
  if (cardOf(told.answers[0].test_point)) undo(told);
  else last.tell(told); // the page of its test did not come
}
stayAwake();
const asked = document.querySelectorAll("form[data-answer] .questions textarea");
import("./dictation.js").then(({ offerDictation }) => offerDictation(asked), () => {}); // where it does not come, one types
const firstOpen = [...document.querySelectorAll(".point[data-point]")].find(isOpen);
if (!location.hash && !isOpen(currentScreen()) && firstOpen) beginWith(firstOpen.id);
followTheAddress((screen) => last.standIn(screen));
document.dispatchEvent(new Event("fieldready")); // what was touched meanwhile is done now (early.js)
