// A form of a visit (a swap, settings, the end), or of a page taken along with one (a place to be confirmed), goes on
// without a network: it is kept and sent as an answer is. What is half written stands there again after a reload; what
// the register refused stands in its form, with the reason.

import { outboxOf } from "./outbox.js";
import { rowOfAct, startFirst } from "./kept_acts.js";

const told = JSON.parse(document.getElementById("kept-form").textContent);
const outbox = await outboxOf(told.person.id);
const NEVER_KEPT = ["csrfmiddlewaretoken"];
const PATIENCE_MS = 10_000;
let isSending = false;

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

/** Make room for what is kept of a form now. False: it is done once, as the end of a visit, and the one before may be on its way. */
async function replaceKept(form) {
  for (const row of rowsOf(form)) {
    if (row.entry.refused) await outbox.drop(row);
    else if (told.is_once && !(await outbox.takeBack(row.entry.answer.client_uuid))) return false;
  }
  return true;
}

async function keep(form, submitter) {
  if (!(await replaceKept(form))) {
    await outbox.sync(); // it left from another page; this one says so now
    form.querySelector("[data-kept-state]")?.scrollIntoView({ block: "center" });
    return false;
  }
  const words = form.dataset.keeps;
  const url = addressOf(form) + (form.getAttribute("action") ? "" : location.search);
  const act = { of: addressOf(form), fields: fieldsOf(form, submitter) };
  const row = await rowOfAct({ told, url, act, label: words, clock: outbox.clock });
  const { person, name, visit, at, href } = row;
  const start = await startFirst(outbox, { starts: told.starts, logIn: told.log_in, person, name, visit, at, href });
  await outbox.addAll([...start, row]);
  renewKey(form);
  if (row.isOnlyHere) return false;
  dropDraft(form);
  return true;
}

function keepDraft(form) {
  try {
    localStorage.setItem(draftOf(form), JSON.stringify(fieldsOf(form)));
  } catch {
    // No room or no storage: it stands in this page only.
  }
}

function draftKept(form) {
  try {
    return JSON.parse(localStorage.getItem(draftOf(form)));
  } catch {
    return null;
  }
}

function dropDraft(form) {
  try {
    localStorage.removeItem(draftOf(form));
  } catch {
    // Nothing was stored.
  }
}

/** The page that the form was reached from, where its address names one. */
function cameFrom() {
  const asked = new URLSearchParams(location.search).get("next") ?? "";
  return /^\/[^/\\]/.test(asked) ? asked : "";
}

/** The register has it: go on from it, or show the form anew. */
function goOn() {
  location.replace(cameFrom() || told.done || location.pathname + location.search);
}

/** Kept without a network: go on, where the page that follows would come. */
function goOnWithout() {
  if (navigator.serviceWorker?.controller) location.assign(cameFrom() || told.back);
}

/** With a network the register takes it at once. What it answers else, is for the page to show. */
async function taken(form, submitter) {
  const response = await fetch(form.getAttribute("action") ?? location.href, {
    method: "POST",
    body: new URLSearchParams(new FormData(form, submitter)),
    redirect: "manual",
    signal: AbortSignal.timeout(PATIENCE_MS),
  });
  return response.type === "opaqueredirect";
}

async function forget(form) {
  dropDraft(form);
  for (const row of rowsOf(form)) if (row.entry.refused) await outbox.drop(row);
}

async function send(form, submitter) {
  const isAway = !navigator.onLine || "kept" in document.body.dataset;
  if (!isAway && !outbox.waiting.length) {
    try {
      if (await taken(form, submitter)) {
        await forget(form);
        return goOn();
      }
      form.dataset.isPlain = "";
      return form.requestSubmit(submitter); // refused: the page says why
    } catch {
      // No connection after all, or none that answers: should it have arrived, it is taken once.
    }
  }
  if (await keep(form, submitter)) goOnWithout();
}

function showState(form) {
  const [row] = rowsOf(form);
  if (!row) return;
  if (row.entry.refused) {
    if (!draftKept(form)) fillIn(form, row.entry.act.fields); // what is typed since goes before it
    say(form, "danger", `■ Not recorded: ${row.entry.refused} It is kept here; change it and send it again.`);
  } else if (row.isOnlyHere && row.isTried) {
    say(form, "danger", "■ This phone has no room to keep it: leave this page open until it is sent, or write it down.");
  } else if (told.is_once && row.entry.left)
    say(form, "danger", `■ ${row.entry.label}: the one before may be on its way to the register and stands. What is filled in here now is not taken in its place; it stays on this phone.`);
  else say(form, "warning", `▲ ${row.entry.label}: kept on this phone, not sent yet. It goes out in its order among the answers.${told.is_once ? " Filled in anew, it takes the place of this one unless that is on its way." : ""}`);
}

for (const form of document.querySelectorAll("form[data-keeps]")) {
  if ("kept" in document.body.dataset) renewKey(form); // the page comes with the same one each time
  const isAnswered = form.querySelector(".error-list, .is-invalid, .field-error, .message.danger");
  const draft = draftKept(form);
  if (draft && !isAnswered) {
    fillIn(form, draft);
    say(form, "warning", "What was typed here and not sent stands in the form again.");
  }
  form.addEventListener("input", () => keepDraft(form));
  form.addEventListener("submit", (event) => {
    if ("isPlain" in form.dataset) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (isSending) return;
    isSending = true;
    send(form, event.submitter).finally(() => {
      isSending = false;
    });
  });
  showState(form);
  outbox.addEventListener("change", () => showState(form));
  outbox.addEventListener("verdict", ({ detail: { verdict, row } }) => {
    if (row.entry.act?.of === addressOf(form) && verdict.fate !== "refused") goOn();
  });
}
addEventListener("beforeunload", (event) => {
  if (outbox.rows.some((row) => row.isOnlyHere)) event.preventDefault();
});
document.dispatchEvent(new Event("fieldready")); // what was touched meanwhile is done now (early.js)
outbox.send();
