// What became of the answers of this visit, at the head of the page: all sent, waiting, not sent, refused; unfolded, why.

function paragraph(text) {
  const element = document.createElement("p");
  element.textContent = text;
  return element;
}

/** One touch to the log-in page and, from there, back to here, where what waits goes on by itself. */
function logInLink() {
  const line = paragraph("");
  const link = document.createElement("a");
  Object.assign(link, { href: `/log-in/?next=${encodeURIComponent(location.pathname)}`, textContent: "Log in" });
  line.append(link, ", and they go on by themselves.");
  return line;
}

function refusedItem(queue, entry) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  link.href = entry.act ? entry.href : `${entry.href}#point-${entry.answer.test_point}`;
  link.textContent = entry.label;
  const discard = document.createElement("button");
  Object.assign(discard, { type: "button", className: "button small", textContent: "Discard" });
  discard.setAttribute("aria-label", `Discard the answer at ${entry.label}`);
  discard.addEventListener("click", () => {
    if (confirm(`Discard the answer at ${entry.label}? It was not recorded.`)) queue.discard(entry);
  });
  item.append(link, `: ${[entry.words, entry.refused].filter(Boolean).join(" – ")} `, discard);
  return item;
}

/** The state of the queue in a breath: {tone, glyph, word}. */
function inABreath({ refused, waiting, isOnlyHere, problem, problemInABreath }) {
  if (isOnlyHere) return { tone: "alarm", glyph: "■", word: `${waiting.length} on this page only` };
  if (refused.length) return { tone: "alarm", glyph: "■", word: `${refused.length} refused` };
  if (waiting.length && problem) return { tone: "attention", glyph: "▲", word: `${waiting.length} not sent: ${problemInABreath}` };
  if (waiting.length) return { tone: "attention", glyph: "▲", word: `${waiting.length} waiting` };
  return { tone: "good", glyph: "●", word: "all sent" };
}

/** Keep the bar up to date with the queue; `stateElement` makes a mark of {tone, glyph, word}. */
export function showQueue(fold, queue, stateElement) {
  const { refused, waiting, problem } = queue;
  fold.hidden = false;
  fold.querySelector("[data-sent]").replaceChildren(stateElement(inABreath(queue)));
  const lines = fold.querySelector("[data-queue-lines]");
  lines.replaceChildren();
  const many = (number, verb) => `${number} answer${number === 1 ? "" : "s"} ${verb}`;
  if (waiting.length && problem) lines.append(paragraph(`▲ ${many(waiting.length, "not sent yet")}. ${problem} Sending again by itself.`));
  else if (waiting.length) lines.append(paragraph(`${many(waiting.length, "on the way")}.`));
  if (queue.isOnlyHere) lines.append(paragraph("■ This browser has no room to keep answers: leave this page open until they are sent."));
  if (queue.needsLogIn) lines.append(logInLink());
  if (!refused.length) {
    if (!waiting.length) lines.append(paragraph("Every answer given on this phone is in the register."));
    return;
  }
  lines.append(paragraph(`■ ${many(refused.length, refused.length === 1 ? "was" : "were")} refused and kept on this phone. Open, change, record again:`));
  const list = document.createElement("ul");
  list.append(...refused.map((entry) => refusedItem(queue, entry)));
  lines.append(list);
}
