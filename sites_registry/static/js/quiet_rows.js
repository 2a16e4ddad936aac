// A page of many runs shows of each table the rows that have something to say. The others stand in one row by their numbers,
// which opens. Sections that say data-folds-among-many give way first. What is not good stays in sight, in words too.
const MOST_BESIDE_SECTIONS = 5;
const MOST_IN_SIGHT = 8;
const FEWEST_FOLDED = 3;
const NOT_GOOD = ".state:not(.good)";

const cellOf = (row, label) => row.querySelector(`[data-label="${CSS.escape(label)}"]`);
const stateOf = (row, label) => cellOf(row, label)?.querySelector(".state");
const added = (parent, name, properties) => parent.appendChild(Object.assign(document.createElement(name), properties));

const columnsBefore = (cell) => {
  let columns = 0;
  for (let one = cell.previousElementSibling; one; one = one.previousElementSibling) columns += one.colSpan;
  return columns;
};

const addNumbers = (cell, rows) => {
  for (const row of rows) {
    const number = row.cells[0].querySelector("a, .tag").cloneNode(true);
    number.title = row.cells[1].textContent.trim().replace(/\s+/g, " ");
    cell.append(number, " ");
  }
};

const addStates = (cell, rows, label) => {
  const states = rows.map((row) => stateOf(row, label)).filter(Boolean);
  for (const word of new Set(states.map((state) => state.textContent))) {
    const alike = states.filter((state) => state.textContent === word);
    cell.append(alike[0].cloneNode(true), alike.length < rows.length ? ` ${alike.length} ` : "");
  }
};

const foldTable = (table) => {
  const { foldsQuiet: kind, saidIn: label } = table.dataset;
  const all = [...table.tBodies[0].rows];
  const quiet = all.filter((row) => !row.querySelector(NOT_GOOD));
  if (quiet.length < FEWEST_FOLDED) return;
  const before = columnsBefore(cellOf(quiet[0], label));
  const head = document.createElement("tr");
  head.className = "quiet-head";
  const words = quiet.length < all.length ? `${quiet.length} of ${all.length} ${kind}` : `All ${all.length} ${kind}`;
  const button = added(added(head, "th", { colSpan: 2, scope: "rowgroup" }), "button", { type: "button", className: "group-fold", textContent: words });
  addNumbers(added(head, "td", { colSpan: before - 2, className: "quiet-numbers" }), quiet);
  addStates(added(head, "td", { colSpan: [...all[0].cells].reduce((sum, cell) => sum + cell.colSpan, 0) - before }), quiet, label);
  const show = (isOpen) => {
    button.setAttribute("aria-expanded", isOpen);
    for (const row of quiet) row.classList.toggle("folded", !isOpen);
  };
  button.addEventListener("click", () => show(button.getAttribute("aria-expanded") !== "true"));
  show(false);
  all[0].before(head);
};

// What is not good within a fold stands in its line too.
for (const fold of document.querySelectorAll("details[data-folds-among-many]"))
  for (const state of fold.querySelectorAll(`dd ${NOT_GOOD}`)) {
    const words = added(fold.querySelector("summary"), "span", { className: "fold-words" });
    words.append(`${state.closest("div").querySelector("dt").textContent.trim()} `, state.cloneNode(true));
  }

const tables = [...document.querySelectorAll("table[data-folds-quiet]")];
const rowsOfAll = tables.reduce((sum, { tBodies }) => sum + tBodies[0].rows.length, 0);
if (rowsOfAll > MOST_BESIDE_SECTIONS)
  for (const fold of document.querySelectorAll("details[data-folds-among-many]")) fold.open = fold.matches(":target");
if (rowsOfAll > MOST_IN_SIGHT) tables.forEach(foldTable);
