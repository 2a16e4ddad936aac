// The field form: judges readings as they are typed and hands answers to the queue. Without it the forms still work.

import { isWithinLimits, judge, readingOf } from "./judge.js";
import { AnswerQueue, BrowserStore } from "./queue.js";

const data = JSON.parse(document.getElementById("field-data").textContent);
const points = new Map(data.points.map((point) => [point.id, point]));
const csrfToken = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];
const queue = new AnswerQueue({
  url: data.answers_url,
  csrfToken,
  store: new BrowserStore(`answers of visit ${data.visit}`),
});
const DEFECT_FIELDS = ["severity", "description", "interim_measure", "told_to"];

function cardOf(pointId) {
  return document.getElementById(`point-${pointId}`);
}

/** A random UUID (version 4); crypto.randomUUID exists in secure contexts only. */
function newUuid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

function answerOf(form) {
  const values = new FormData(form);
  const text = (name) => (values.get(name) ?? "").trim();
  const answer = {
    client_uuid: newUuid(),
    test_point: Number(text("test_point")),
    outcome: text("outcome"),
    seen_at: new Date().toISOString(),
    correction_reason: text("correction_reason"),
  };
  if (["not_accessible", "not_applicable"].includes(answer.outcome)) answer.reason = text("reason");
  else {
    answer.reading = text("reading");
    if (answer.outcome !== "pass") answer.remark = text("remark");
  }
  if (answer.outcome === "fail") answer.defect = Object.fromEntries(DEFECT_FIELDS.map((name) => [name, text(name)]));
  if (["pass", "remark"].includes(answer.outcome)) {
    answer.closes = values.getAll("closes").map(Number);
    answer.closing_note = text("closing_note");
  }
  return answer;
}

/** What is missing before an answer can be sent: {message, name} or null. The server asks the same again. */
function missingIn(answer, point) {
  if (!answer.outcome) return { message: "Choose an outcome.", name: "outcome" };
  const reading = readingOf(answer.reading ?? "");
  if (Number.isNaN(reading)) return { message: "The reading is not a plain number.", name: "reading" };
  if ("reading" in answer && reading === null && point.is_reading_required)
    return { message: `Enter the ${point.quantity} in ${point.unit || "figures"}.`, name: "reading" };
  if (answer.outcome === "pass" && reading !== null && isWithinLimits(point, reading) === false)
    return { message: `${reading} ${point.unit} is outside the limits (${point.limits}). Choose fail, or pass with remark and say why it can stay.`, name: "outcome" };
  if (answer.outcome === "remark" && !answer.remark) return { message: "Write the remark.", name: "remark" };
  if ("reason" in answer && !answer.reason) return { message: "Say why.", name: "reason" };
  if (answer.defect && !answer.defect.severity) return { message: "Choose how severe the defect is.", name: "severity" };
  if (answer.defect && !answer.defect.description) return { message: "Describe what is wrong.", name: "description" };
  if (data.visit_state === "finished" && !answer.correction_reason)
    return { message: "Say why it is corrected.", name: "correction_reason" };
  return null;
}

function tell(card, message) {
  const line = card.querySelector("[data-error]");
  line.textContent = message;
  line.hidden = !message;
}

function stateElement({ tone, glyph, word }) {
  const state = document.createElement("span");
  state.className = `state ${tone}`;
  const mark = document.createElement("span");
  mark.className = "glyph";
  mark.setAttribute("aria-hidden", "true");
  mark.textContent = glyph;
  state.append(mark, word);
  return state;
}

function showRecorded(card, answer, isSent) {
  const point = points.get(answer.test_point);
  const line = card.querySelector("[data-recorded]");
  const details = [
    answer.reading ? ` ${answer.reading.replace(",", ".")} ${point.unit}` : "",
    answer.remark || answer.reason ? ` · ${answer.remark || answer.reason}` : "",
    isSent ? " · recorded" : " · sending …",
  ];
  line.replaceChildren(stateElement(data.outcomes[answer.outcome]), details.join(""));
  card.classList.toggle("is-sending", !isSent);
  card.dataset.done = "";
  const body = card.querySelector(".point-body");
  body.querySelector("summary").textContent = "Change this answer";
  body.open = false;
}

function toNextOpen(card) {
  const following = [...document.querySelectorAll(".point")].filter(
    (other) => !("done" in other.dataset) && card.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING,
  );
  following[0]?.scrollIntoView({ block: "start", behavior: "smooth" });
}

function record(form) {
  const answer = answerOf(form);
  const card = cardOf(answer.test_point);
  const point = points.get(answer.test_point);
  const missing = missingIn(answer, point);
  tell(card, missing?.message ?? "");
  if (missing) {
    const input = form.querySelector(`[name="${missing.name}"]`);
    if (missing.name !== "outcome") input?.focus();
    return;
  }
  showRecorded(card, answer, false);
  toNextOpen(card);
  queue.add(answer, `${point.tag}, ${point.title}`);
}

function showJudgement(form) {
  const point = points.get(Number(form.elements.test_point.value));
  const line = form.querySelector("[data-judged]");
  if (!line) return;
  const text = form.elements.reading.value;
  const verdict = judge(point, text);
  line.replaceChildren(...(verdict ? [stateElement({ ...verdict, word: verdict.text })] : []));
  const reading = readingOf(text);
  const pass = form.querySelector('[name="outcome"][value="pass"]');
  pass.disabled = reading !== null && !Number.isNaN(reading) && isWithinLimits(point, reading) === false;
  if (pass.disabled && pass.checked) pass.checked = false;
}

for (const form of document.querySelectorAll("form[data-answer]")) {
  const point = points.get(Number(form.elements.test_point.value));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    record(form);
  });
  form.addEventListener("input", () => showJudgement(form));
  form.addEventListener("change", (event) => {
    if (event.target.name !== "outcome" || event.target.value !== "pass") return;
    // A plain pass is one touch, unless there is something left to say.
    const asksMore = form.querySelector(".when-passed") || form.elements.correction_reason;
    if (!asksMore && (!point.quantity || form.elements.reading.value.trim())) record(form);
    else if (point.is_reading_required && !form.elements.reading.value.trim()) form.elements.reading.focus();
  });
  showJudgement(form);
}

queue.addEventListener("verdict", ({ detail: { verdict, entry, progress } }) => {
  showProgress(progress);
  const card = cardOf(entry.answer.test_point);
  if (!card) return;
  if (verdict.fate === "refused") {
    card.classList.remove("is-sending");
    delete card.dataset.done;
    card.querySelector("[data-recorded]").replaceChildren(stateElement({ tone: "alarm", glyph: "■", word: "not recorded" }));
    card.querySelector(".point-body").open = true;
    tell(card, verdict.message);
    card.scrollIntoView({ block: "start" });
  } else {
    showRecorded(card, entry.answer, true);
    const form = card.querySelector("form");
    form.reset();
    showJudgement(form);
    for (const note of verdict.notes) card.querySelector("[data-recorded]").append(document.createElement("br"), note);
  }
});

function showProgress({ done, total }) {
  const bar = document.querySelector("[data-progress]");
  if (bar) Object.assign(bar, { max: total, value: done });
  const text = document.querySelector("[data-progress-text]");
  if (text) text.textContent = `${done} of ${total} test points`;
  const short = document.querySelector("[data-progress-short]");
  if (short) short.textContent = `${done} / ${total}`;
}

// What waits, said plainly.
function showQueue() {
  const line = document.querySelector("[data-queue]");
  const waiting = queue.waiting.length;
  const { refused, problem } = queue;
  line.hidden = !(refused.length || (waiting && problem));
  line.replaceChildren();
  if (waiting && problem) line.append(paragraph(`▲ ${waiting} answer${waiting === 1 ? "" : "s"} not sent yet. ${problem} Sending again by itself.`));
  if (refused.length) {
    line.append(paragraph(`■ ${refused.length} answer${refused.length === 1 ? " was" : "s were"} refused. Enter again:`));
    const list = document.createElement("ul");
    for (const entry of refused) {
      const item = document.createElement("li");
      const link = document.createElement("a");
      link.href = `${entry.href}#point-${entry.answer.test_point}`;
      link.textContent = entry.label;
      item.append(link, `: ${entry.refused}`);
      list.append(item);
    }
    const forget = document.createElement("button");
    Object.assign(forget, { type: "button", className: "button", textContent: "Seen" });
    forget.addEventListener("click", () => queue.forgetRefused());
    line.append(list, forget);
  }
}

function paragraph(text) {
  const element = document.createElement("p");
  element.textContent = text;
  return element;
}

queue.addEventListener("change", showQueue);
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

showQueue();
queue.send();
