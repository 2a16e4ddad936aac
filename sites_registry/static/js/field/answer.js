// An answer as it is typed in the form of a test point: read from it, checked as the server does, put back into it.

import { notANumber, passRefusal, readingOf } from "./judge.js";
import { figuresIn } from "./plate_figures.js";

const DEFECT_FIELDS = ["severity", "description", "interim_measure", "told_to"];
const PASSING = ["pass", "remark"];
const NOT_TESTED = ["not_accessible", "not_applicable"];

/** A random UUID (version 4); crypto.randomUUID exists in secure contexts only. */
export function newUuid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

/** The answer that the form holds now; `point` says what its author had before them, `clock` how far it is out. */
export function answerOf(form, point, clock) {
  const values = new FormData(form); // without the button that was touched: its outcome is set in the form
  const text = (name) => (values.get(name) ?? "").trim();
  const answer = {
    client_uuid: newUuid(),
    test_point: Number(text("test_point")),
    outcome: text("outcome"),
    seen_at: new Date().toISOString(),
    clock_offset_ms: clock.offsetMs,
    knows: [...point.known],
    correction_reason: text("correction_reason"),
  };
  if (NOT_TESTED.includes(answer.outcome)) answer.reason = text("reason");
  else {
    answer.reading = text("reading");
    answer.figures = figuresIn(form);
    if (answer.outcome !== "pass") answer.remark = text("remark");
  }
  if (answer.outcome === "fail") answer.defect = Object.fromEntries(DEFECT_FIELDS.map((name) => [name, text(name)]));
  if (PASSING.includes(answer.outcome)) {
    answer.closes = values.getAll("closes").map(Number);
    answer.closing_note = text("closing_note");
    answer.closes_fails = point.has_failed && values.has("closes_fails");
  }
  return answer;
}

/** An answer without a form, at a point that nothing was recorded at; `more` is what its outcome needs. */
export function answerAt(point, outcome, clock, more = {}) {
  return {
    client_uuid: newUuid(),
    test_point: point,
    outcome,
    seen_at: new Date().toISOString(),
    clock_offset_ms: clock.offsetMs,
    knows: [],
    correction_reason: "",
    ...more,
  };
}

/** What is missing before an answer can be sent: {message, name} or null. The server asks the same again. */
export function missingIn(answer, point, isFinished) {
  if (!answer.outcome) return { message: "Choose an outcome.", name: "outcome" };
  const reading = readingOf(answer.reading ?? "");
  if (Number.isNaN(reading)) return { message: notANumber(answer.reading), name: "reading" };
  if (PASSING.includes(answer.outcome) && reading === null && point.is_reading_required)
    return { message: `Enter the ${point.quantity} in ${point.unit || "figures"}.`, name: "reading" };
  const badFigure = Object.entries(answer.figures ?? {}).find(([, text]) => !(readingOf(text) > 0));
  if (badFigure) return { message: `“${badFigure[1]}” is no figure above 0. Write plain digits, such as 0.8.`, name: `figure_${badFigure[0]}` };
  const refusal = answer.outcome === "pass" && reading !== null ? passRefusal(point, reading, answer.figures) : "";
  if (refusal) return { message: refusal, name: "outcome" };
  if (answer.outcome === "remark" && !answer.remark) return { message: "Write the remark.", name: "remark" };
  if ("reason" in answer && !answer.reason) return { message: "Say why.", name: "reason" };
  if (answer.defect && !answer.defect.severity) return { message: "Choose how severe the defect is.", name: "severity" };
  if (answer.defect && !answer.defect.description) return { message: "Describe what is wrong.", name: "description" };
  const isOverFail = point.has_failed && answer.outcome !== "fail";
  if (isOverFail && "closes_fails" in answer && !answer.closes_fails)
    return { message: "This point has failed. Say that this pass closes its defect, or leave the fail.", name: "closes_fails" };
  if (isOverFail && !answer.correction_reason)
    return { message: "Say why the fail no longer counts: what was put right, or what was wrong with it.", name: "correction_reason" };
  if (isFinished && !answer.correction_reason) return { message: "Say why it is corrected.", name: "correction_reason" };
  return null;
}

/** Put an answer back into its form, so that it can be changed where it stands. */
export function fillIn(form, answer) {
  const figures = Object.entries(answer.figures ?? {}).map(([name, text]) => [`figure_${name}`, text]);
  const flat = { ...answer, ...answer.defect, ...Object.fromEntries(figures) };
  for (const input of form.elements) {
    if (input.type === "submit" || ["client_uuid", "test_point", "knows", "csrfmiddlewaretoken"].includes(input.name)) continue;
    const value = flat[input.name];
    if (input.type === "radio") input.checked = input.value === value;
    else if (input.name === "closes") input.checked = (value ?? []).includes(Number(input.value));
    else if (input.type === "checkbox") input.checked = Boolean(value);
    else if (input.name && value !== undefined) input.value = value;
  }
}
