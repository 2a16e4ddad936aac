// A form of a visit (a swap, settings, the end) goes on without a network: it is kept and sent as an answer is. What is
// half written stands there again after a reload; what the register refused stands in its form, with the reason.

import { outboxOf } from "./outbox.js";

const told = JSON.parse(document.getElementById("kept-form").textContent);
const outbox = await outboxOf(told.person.id);
const NEVER_KEPT = ["csrfmiddlewaretoken"];

const addressOf = (form) => form.getAttribute("action") || location.pathname;
const rowsOf = (form) => outbox.rows.filter((row) => row.entry.act?.of === addressOf(form));
const draftOf = (form) => `half written by ${told.person.id} at ${addressOf(form)}`;

function fieldsOf(form, submitter) {
  const values = new FormData(form, submitter);
  return [...values].filter(([name, value]) => typeof value === "string" && !NEVER_KEPT.includes(name));
}

function fillIn(form, fields) {
  const byName = grouped(fields);
  for (const input of form.elements) {
    if (!input.name || input.type === "hidden" || input.type === "submit" || input.type === "file") continue;
    const values = (byName.get(input.name) ?? []).map(([, value]) => value);
    if (input.type === "checkbox" || input.type === "radio") input.checked = values.includes(input.value);
    else if (values.length) input.value = values[0];
  }
  form.dispatchEvent(new Event("filled"));
}

function grouped(fields) {
  const groups = new Map();
  for (const field of fields) groups.set(field[0], [...(groups.get(field[0]) ?? []), field]);
  return groups;
}

function say(form, tone, text) {
  let line = form.querySelector("[data-kept-state]");
  if (!line) {
    line = document.createElement("p");
    line.dataset.keptState = "";
    line.setAttribute("role", "status");
    form.prepend(line);
  }
  line.className = `message ${tone}`;
  line.textContent = text;
}

/** Each filled-in form has a key of its own, by which the register takes it once. */
function renewKey(form) {
  const key = form.elements.submission_key;
  if (key) key.value = crypto.randomUUID();
}

async function keep(form, submitter) {
  for (const row of rowsOf(form)) if (row.entry.refused) await outbox.drop(row);
  const words = form.dataset.keeps;
  const act = { of: addressOf(form), fields: fieldsOf(form, submitter), logIn: told.log_in };
  await outbox.add({
    person: told.person.id,
    name: told.person.name,
    visit: told.visit,
    at: told.visit_name,
    href: told.visit_url,
    url: addressOf(form) + (form.getAttribute("action") ? "" : location.search),
    entry: { answer: { client_uuid: crypto.randomUUID() }, act, label: words, words: "", href: location.pathname },
  });
  localStorage.removeItem(draftOf(form));
  renewKey(form);
}

function showState(form) {
  const [row] = rowsOf(form);
  if (!row) return;
  if (row.entry.refused) {
    fillIn(form, row.entry.act.fields);
    say(form, "danger", `■ Not recorded: ${row.entry.refused} It is kept here; change it and send it again.`);
  } else say(form, "warning", `▲ ${row.entry.label}: kept on this phone, not sent yet. It goes out in its order among the answers.`);
}

for (const form of document.querySelectorAll("form[data-keeps]")) {
  const isAnswered = form.querySelector(".error-list, .is-invalid");
  const draft = localStorage.getItem(draftOf(form));
  if (draft && !isAnswered) {
    fillIn(form, JSON.parse(draft));
    say(form, "warning", "What was typed here and not sent stands in the form again.");
  }
  form.addEventListener("input", () => localStorage.setItem(draftOf(form), JSON.stringify(fieldsOf(form))));
  form.addEventListener("submit", async (event) => {
    if (navigator.onLine && !("kept" in document.body.dataset)) return localStorage.removeItem(draftOf(form));
    event.preventDefault();
    event.stopImmediatePropagation();
    await keep(form, event.submitter);
    if (navigator.serviceWorker?.controller) location.assign(told.back || told.visit_url); // else that page would not come
  });
  showState(form);
  outbox.addEventListener("change", () => showState(form));
  outbox.addEventListener("verdict", ({ detail: { verdict, row } }) => {
    if (row.entry.act?.of === addressOf(form) && verdict.fate !== "refused") location.assign(told.back || location.href);
  });
}
outbox.send();
