// What waits and what was refused, said plainly at the head of the page.

function paragraph(text) {
  const element = document.createElement("p");
  element.textContent = text;
  return element;
}

function refusedItem(queue, entry) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  link.href = `${entry.href}#point-${entry.answer.test_point}`;
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

/** Keep the line up to date with the queue. */
export function showQueue(line, queue) {
  const waiting = queue.waiting.length;
  const { refused, problem } = queue;
  line.hidden = !(refused.length || (waiting && problem));
  line.replaceChildren();
  if (waiting && problem) line.append(paragraph(`▲ ${waiting} answer${waiting === 1 ? "" : "s"} not sent yet. ${problem} Sending again by itself.`));
  if (!refused.length) return;
  line.append(paragraph(`■ ${refused.length} answer${refused.length === 1 ? " was" : "s were"} refused and kept on this phone. Open, change, record again:`));
  const list = document.createElement("ul");
  list.append(...refused.map((entry) => refusedItem(queue, entry)));
  line.append(list);
}
