// Small touches for every page; everything works without them.

// The row is the link: a click anywhere in a row follows its first link.
document.addEventListener("click", (event) => {
  const row = event.target.closest("tr[data-href]");
  if (!row || event.target.closest("a, button, input, label, select, summary") || getSelection().toString()) return;
  if (event.ctrlKey || event.metaKey) window.open(row.dataset.href, "_blank");
  else window.location = row.dataset.href;
});

// A form is sent once: a second click finds the button at rest. Coming back by the back button wakes it again.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) return;
  if (form.dataset.confirm && !window.confirm(form.dataset.confirm)) return event.preventDefault();
  if (form.dataset.sent) return event.preventDefault();
  form.dataset.sent = "1";
});
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});

// An open menu closes on a click elsewhere and on Escape.
document.addEventListener("click", (event) => {
  for (const menu of document.querySelectorAll("details.menu[open], details.who[open]"))
    if (!menu.contains(event.target)) menu.open = false;
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") for (const menu of document.querySelectorAll("details.menu[open], details.who[open]")) menu.open = false;
});

// A filter that says data-auto sends itself when changed.
document.addEventListener("change", (event) => {
  const form = event.target.closest("form[data-auto]");
  if (form && event.target.matches("select, input[type=checkbox], input[type=radio]")) form.requestSubmit();
});

// Fields that only some kinds of device have are out of sight for the others, unless somebody typed something there; what
// a list stands at may be where it began.
const showFieldsOfKind = (select) => {
  for (const part of select.form.querySelectorAll("[data-for-kinds]")) {
    const holds = [...part.querySelectorAll("input:not([type=checkbox]), textarea")].some((input) => input.value);
    part.hidden = Boolean(select.value) && !holds && !part.dataset.forKinds.split(" ").includes(select.value);
  }
};
for (const select of document.querySelectorAll("select[name=kind]")) {
  if (!select.form?.querySelector("[data-for-kinds]")) continue;
  showFieldsOfKind(select);
  select.addEventListener("change", () => showFieldsOfKind(select));
}

// Fields and words that only some choices of a select need (data-shown-by, data-shown-for) are out of sight for the others;
// what they hold stays as it is, and a fault is always seen.
for (const select of document.querySelectorAll("select[data-shows-fields]")) {
  const show = () => {
    for (const part of select.form.querySelectorAll(`[data-shown-by="${CSS.escape(select.name)}"]`))
      (part.closest(".form-field") ?? part).hidden =
        !part.dataset.shownFor.split(" ").includes(select.value) && !part.classList.contains("is-invalid");
    for (const group of select.form.querySelectorAll("fieldset:has([data-shown-by])"))
      group.hidden = !group.querySelector(".form-field:not([hidden])");
  };
  show();
  select.addEventListener("change", show);
}

// A caution stands in full the first time this person meets it on this device; then in one line that opens.
for (const caution of document.querySelectorAll("details.caution-line")) {
  const known = `caution:${document.body.dataset.person}:${caution.textContent.trim()}`;
  if (localStorage.getItem(known)) caution.open = false;
  else localStorage.setItem(known, "1");
}

// On a phone a list comes before its filters, unless one of them is in use.
if (matchMedia("(max-width: 640px)").matches)
  for (const fold of document.querySelectorAll("details.filter-fold")) {
    const inUse = [...new URLSearchParams(location.search)].some(([name, value]) => value && fold.querySelector(`[name="${CSS.escape(name)}"]:not([type=hidden])`));
    fold.open = inUse;
  }

// On a phone groups begin folded, but for those to be seen at once and the one that the address leads into; on a tablet
// the longest do, which say data-folds-on-tablet.
const foldsHere = matchMedia("(max-width: 640px)").matches
  ? "details:is(.fold, .plan-place):not([data-stays-open])"
  : matchMedia("(max-width: 1099px)").matches && "details[data-folds-on-tablet]:not([data-stays-open])";
if (foldsHere) for (const fold of document.querySelectorAll(foldsHere)) fold.open = fold.matches(":target, :has(:target)");

// On a phone a table that says data-groups shows of each long group its head: how many, in which states. What alarms stays in
// sight. The groups are those of its heads, or of the column that data-groups names: runs of it, or all with data-gathers.
// A table of short groups says how few rows are worth a head: data-folds-from.
const FEWEST_FOLDED = 6;
const fewestOf = ({ dataset }) => Number(dataset.foldsFrom ?? FEWEST_FOLDED);
const cellOf = (row, label) => row.querySelector(`[data-label="${CSS.escape(label)}"]`);
const groupsOf = ({ dataset, tBodies }) => {
  const groups = [];
  for (const row of [...tBodies].flatMap((body) => [...body.rows])) {
    const word = dataset.groups && (cellOf(row, dataset.groups)?.textContent.trim() || dataset.ungrouped);
    const known = "gathers" in dataset ? groups.find((group) => group.word === word) : groups.at(-1);
    if (row.matches(".part")) groups.push({ head: row, rows: [] });
    else if (known && (!word || known.word === word)) known.rows.push(row);
    else groups.push({ word, rows: [row] });
  }
  return groups;
};
const headOf = ({ word, rows }, label) => {
  const head = document.createElement("tr");
  head.className = "part";
  const words = word[0].toUpperCase() + word.slice(1);
  head.append(Object.assign(document.createElement("th"), { scope: "rowgroup", colSpan: rows[0].cells.length, textContent: words }));
  for (const row of rows) cellOf(row, label).classList.add("said-above");
  rows[0].before(head);
  head.after(...rows);
  return head;
};
const wordsOf = (rest, all, isPaged) => {
  const markOf = (row) => row.querySelector("td:not(.words) .state");
  const numberOf = (rows) => rows.reduce((sum, row) => sum + Number(row.dataset.counts ?? 1), 0);
  const words = Object.assign(document.createElement("span"), { className: "fold-words" });
  words.append(`${numberOf(rest)}${rest.length < all.length ? " more" : ""}${isPaged ? " on this page" : ""}`);
  for (const word of new Set(rest.map((row) => markOf(row)?.textContent.trim()).filter(Boolean))) {
    const alike = rest.filter((row) => markOf(row)?.textContent.trim() === word);
    words.append(" · ", markOf(alike[0]).cloneNode(true), alike.length < rest.length ? ` ${numberOf(alike)}` : "");
  }
  return words;
};
const restOf = ({ rows }) => rows.filter((row) => !row.querySelector(".state.alarm"));
const foldGroup = (group, table) => {
  const rest = restOf(group);
  const cell = (group.head ?? (group.word && headOf(group, table.dataset.groups)))?.cells?.[0];
  if (!cell || rest.length < fewestOf(table)) return;
  const button = Object.assign(document.createElement("button"), { type: "button", className: "group-fold" });
  const show = (isOpen) => {
    button.setAttribute("aria-expanded", isOpen);
    for (const row of rest) row.classList.toggle("folded", !isOpen);
  };
  const isPaged = Boolean(table.parentElement.parentElement.querySelector(".pager nav"));
  button.append(...cell.childNodes, " ", wordsOf(rest, group.rows, isPaged));
  button.addEventListener("click", () => show(button.getAttribute("aria-expanded") !== "true"));
  cell.replaceChildren(button);
  show(rest.some((row) => row.matches(":target, :has(:target)")));
};
if (matchMedia("(max-width: 640px)").matches)
  for (const table of document.querySelectorAll("table[data-groups]")) {
    const groups = groupsOf(table);
    if (groups.some((group) => restOf(group).length >= fewestOf(table))) for (const group of groups) foldGroup(group, table);
  }

// Paper has no folds.
addEventListener("beforeprint", () => {
  for (const fold of document.querySelectorAll("details.fold:not([open])")) fold.open = fold.dataset.printed = true;
});
addEventListener("afterprint", () => {
  for (const fold of document.querySelectorAll("details.fold[data-printed]")) {
    fold.open = false;
    delete fold.dataset.printed;
  }
});

// Coming back to a form that was sent, it keeps its key: sent once more, it makes no second record.
const keys = [...document.querySelectorAll("input[name=submission_key]")];
if (keys.length) {
  const cameBack = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
  const kept = history.state?.submissionKeys;
  if (cameBack && kept?.length === keys.length) keys.forEach((input, index) => (input.value = kept[index]));
  else history.replaceState({ ...history.state, submissionKeys: keys.map((input) => input.value) }, "");
}

// A figure of the model stands grey where the record has none of its own; not that of a model chosen no more.
document.addEventListener("change", (event) => {
  if (!event.target.matches("select[name=product_model]")) return;
  for (const input of event.target.form.querySelectorAll("[data-of-model]")) {
    input.dataset.figure ??= input.placeholder;
    input.placeholder = input.dataset.ofModel === event.target.value ? input.dataset.figure : "";
  }
});

// A day is typed in words; beside its box the calendar of the browser.
if (document.querySelector("input[data-day]")) import("./days.js");

// In a bar that is wider than the screen the page that is shown stands in sight.
for (const bar of document.querySelectorAll(".siblings, .tabs")) {
  const current = bar.querySelector("[aria-current]")?.getBoundingClientRect();
  const beyond = current ? current.right - bar.getBoundingClientRect().right : 0;
  if (beyond > 0) bar.scrollLeft += beyond;
}
