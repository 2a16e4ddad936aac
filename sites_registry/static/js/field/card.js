// The screen of a test: what it says of its answer, whether recorded, on its way, taken back or refused.

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

function rowOf(point) {
  return document.querySelector(`[data-state-of="${point.id}"]`);
}

function say(card, point, state, words) {
  card.querySelector("[data-recorded]").replaceChildren(stateElement(state), ` ${words}`);
  rowOf(point).replaceChildren(stateElement(state));
}

/** Say that an answer is recorded, or on its way. */
export function showRecorded(card, answer, point, state, isSent) {
  const words = [inWords(answer, point), isSent ? "recorded" : "sending …"].filter(Boolean).join(" · ");
  say(card, point, state, words);
  card.dataset.done = "";
  delete card.dataset.changing;
}

/** Say that an answer was refused and why; its figures stay in the form. */
export function showRefused(card, answer, point, word, message) {
  delete card.dataset.done;
  say(card, point, { tone: "alarm", glyph: "■", word: "not recorded" }, inWords(answer, point, word));
  tell(card, message);
}

/** After an answer the point knows it: a change asks why, and a pass over a fail asks whether it closes the defect. */
export function remember(card, answer, point) {
  if (point.known.includes(answer.client_uuid)) return;
  const said = [card.querySelector("[data-recorded]"), rowOf(point)].map((place) => ({ place, nodes: [...place.childNodes] }));
  (point.earlier ??= []).push({ said, known: [...point.known], has_failed: point.has_failed, is_done: point.is_done });
  point.known.push(answer.client_uuid);
  point.has_failed = answer.outcome === "fail";
  point.is_done = true;
  showWhatIsAsked(card, point);
}

/** An answer that does not stand, refused or taken back, is not known: the point is as it was before. */
export function forget(card, answer, point) {
  if (!point.known.includes(answer.client_uuid) || !point.earlier?.length) return;
  const { said, ...earlier } = point.earlier.pop();
  Object.assign(point, earlier);
  for (const { place, nodes } of said) place.replaceChildren(...nodes);
  if (!point.is_done) delete card.dataset.done;
  showWhatIsAsked(card, point);
}

function showWhatIsAsked(card, point) {
  const afterFail = card.querySelector("[data-after-fail]");
  if (afterFail) afterFail.hidden = !point.has_failed;
  const correction = card.querySelector("[data-correction]");
  if (correction) correction.hidden = !point.is_done && !("always" in correction.dataset);
}
