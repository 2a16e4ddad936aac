// The card of a test point: what it says of its answer, whether recorded, on its way or refused.

export function cardOf(pointId) {
  return document.getElementById(`point-${pointId}`);
}

export function tell(card, message) {
  const line = card.querySelector("[data-error]");
  line.textContent = message;
  line.hidden = !message;
}

export function stateElement({ tone, glyph, word }) {
  const state = document.createElement("span");
  state.className = `state ${tone}`;
  const mark = document.createElement("span");
  mark.className = "glyph";
  mark.setAttribute("aria-hidden", "true");
  mark.textContent = glyph;
  state.append(mark, word);
  return state;
}

/** The figures and words of an answer: "31.7 V · pass with remark · Cold room." */
export function inWords(answer, point, word = "") {
  const reading = answer.reading ? `${answer.reading.replace(",", ".")} ${point.unit}`.trim() : "";
  return [reading, word, answer.remark || answer.reason].filter(Boolean).join(" · ");
}

/** Say that an answer is recorded, or on its way. */
export function showRecorded(card, answer, point, state, isSent) {
  const words = [inWords(answer, point), isSent ? "recorded" : "sending …"].filter(Boolean).join(" · ");
  card.querySelector("[data-recorded]").replaceChildren(stateElement(state), ` ${words}`);
  card.classList.toggle("is-sending", !isSent);
  card.dataset.done = "";
  const body = card.querySelector(".point-body");
  body.querySelector("summary").textContent = "Change this answer";
  body.open = false;
}

/** Say that an answer was refused and why; its figures stay in the form. */
export function showRefused(card, answer, point, word, message) {
  card.classList.remove("is-sending");
  delete card.dataset.done;
  const state = stateElement({ tone: "alarm", glyph: "■", word: "not recorded" });
  card.querySelector("[data-recorded]").replaceChildren(state, ` ${inWords(answer, point, word)}`);
  card.querySelector(".point-body").open = true;
  tell(card, message);
}

/** After an answer the point knows it: a change asks why, and a pass over a fail asks whether it closes the defect. */
export function remember(card, answer, point) {
  if (!point.known.includes(answer.client_uuid)) point.known.push(answer.client_uuid);
  point.has_failed = answer.outcome === "fail";
  point.is_done = true;
  const afterFail = card.querySelector("[data-after-fail]");
  if (afterFail) afterFail.hidden = !point.has_failed;
  const correction = card.querySelector("[data-correction]");
  if (correction) correction.hidden = false;
}
