// Wiring as one types: Enter or leaving a field saves it, the answer says what the checks find now. A tick goes on
// without a network.
import { keepTick } from "./field/kept_tick.js";

const form = document.querySelector("form[data-wiring]");
const bar = document.querySelector("[data-wiring-bar]");
const undoButton = document.querySelector("[data-wiring-undo]");
const token = form.querySelector("[name=csrfmiddlewaretoken]").value;
let undo = "";
let waiting = Promise.resolve(); // one after another: a row answers before the next one asks

const fields = () => [...form.querySelectorAll("input[data-field]")];
const seenOf = (input) => form.querySelector(`input[name="seen-${input.name}"]`);
const tidy = (text) => text.trim().replace(/\s+/g, " ");

const isKeptPage = () => "kept" in document.body.dataset;

const say = (text, isWrong = false) => {
  bar.hidden = false;
  bar.classList.toggle("wrong", isWrong);
  bar.querySelector("[data-wiring-said]").textContent = text;
  undoButton.hidden = !undo;
};

const line = (finding) => {
  const paragraph = document.createElement("p");
  const mark = document.createElement("span");
  const glyph = document.createElement("span");
  mark.className = `state ${finding.tone}`;
  glyph.className = "glyph";
  glyph.setAttribute("aria-hidden", "true");
  glyph.textContent = finding.glyph;
  mark.append(glyph, finding.word);
  paragraph.append(mark, ` ${finding.sentence}`);
  return paragraph;
};

const showRow = (row) => {
  const place = document.getElementById(`t${row.pk}`);
  if (!place) return;
  for (const name of ["core", "far"]) {
    const input = place.querySelector(`input[data-field=${name}]`);
    // What somebody is typing right now stays.
    if (tidy(input.value) === seenOf(input).value) input.value = row[name];
    seenOf(input).value = row[name];
    place.querySelector(`[data-shown=${name}]`).textContent = row[name] || "–";
  }
  place.querySelector("[data-more]").textContent = row.more;
  const tick = place.querySelector("input[data-tick]");
  if (tick.checked && !row.checked) place.querySelector("[data-tick-word]").textContent = "";
  tick.checked = row.checked;
  place.querySelector("[data-findings]").replaceChildren(...row.findings.map(line));
};

const show = (answer) => {
  for (const row of answer.rows || []) showRow(row);
  if (answer.summary) document.getElementById("wiring-summary").innerHTML = answer.summary;
};

const send = async (url, data) => {
  const body = new URLSearchParams({ ...data, panel: form.dataset.panel, of: form.dataset.of });
  try {
    const response = await fetch(url, { method: "POST", body, headers: { "X-CSRFToken": token, Accept: "application/json" } });
    if (response.redirected || !(response.headers.get("Content-Type") || "").includes("json"))
      return { sentence: "Not saved: you are logged out, or the register could not take it. Load the page anew." };
    return await response.json();
  } catch {
    return { sentence: "Not saved: no connection. Press Enter here again.", isOutOfReach: true };
  }
};

const tellAt = (input, sentence) => {
  const place = input.closest("tr").querySelector("[data-findings]");
  place.querySelector("[data-refusal]")?.remove();
  const told = line({ tone: "alarm", glyph: "■", word: "not saved", sentence });
  told.dataset.refusal = "1";
  place.prepend(told);
  input.setAttribute("aria-invalid", "true");
};

const save = (input) => {
  const typed = tidy(input.value);
  const seen = seenOf(input).value;
  if (typed === seen || input.dataset.sending === typed) return;
  input.dataset.sending = typed;
  say("saving");
  waiting = waiting.then(async () => {
    const answer = await send(input.dataset.url, { field: input.dataset.field, typed, seen });
    delete input.dataset.sending;
    if (answer.sentence) {
      show(answer);
      tellAt(input, answer.sentence);
      return say(answer.sentence, true);
    }
    input.removeAttribute("aria-invalid");
    if (tidy(input.value) === typed) input.value = seen; // it takes the text of the answer
    seenOf(input).value = seen;
    undo = answer.undo || undo;
    show(answer);
    say(answer.said);
  });
};

const move = (input, by) => {
  const column = fields().filter((other) => other.dataset.field === input.dataset.field);
  const next = column[column.indexOf(input) + by];
  next?.focus();
  next?.select();
};

form.addEventListener("keydown", (event) => {
  const input = event.target;
  if (!input.matches("input[data-field]")) return;
  if (event.key === "Enter") {
    event.preventDefault();
    save(input);
    move(input, event.shiftKey ? -1 : 1);
  } else if ((event.key === "ArrowDown" || event.key === "ArrowUp") && !event.altKey) {
    event.preventDefault();
    move(input, event.key === "ArrowDown" ? 1 : -1);
  } else if (event.key === "Escape") {
    input.value = seenOf(input).value;
    input.removeAttribute("aria-invalid");
    input.closest("tr").querySelector("[data-refusal]")?.remove();
  }
});
form.addEventListener("focusout", (event) => {
  if (event.target.matches("input[data-field]")) save(event.target);
});
form.addEventListener("change", async (event) => {
  const input = event.target;
  if (!input.matches("input[data-tick]")) return;
  if (isKeptPage() || !navigator.onLine) return keepTick(input);
  const answer = await send(input.dataset.tick, { checked: input.checked ? "1" : "0" });
  if (answer.isOutOfReach) return keepTick(input);
  if (answer.sentence) {
    input.checked = !input.checked;
    return say(answer.sentence, true);
  }
  input.closest("label").querySelector("[data-tick-word]").textContent = input.checked ? "seen just now" : "";
});
undoButton?.addEventListener("click", async () => {
  const answer = await send(form.dataset.undoUrl, { undo });
  undo = "";
  show(answer);
  say(answer.sentence || answer.said, Boolean(answer.sentence));
});
form.querySelector("[data-no-script]")?.remove();
