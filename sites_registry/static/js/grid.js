// A table to type in: arrows and Enter move, Ctrl+D fills from above, tags count on, a pasted block lands cell by cell.
const table = document.querySelector("table[data-grid]");
const body = table.tBodies[0];
const most = Number(table.dataset.most);
const letters = new Map([...document.querySelectorAll("#grid-kinds option")].map((option) => [option.dataset.letters, option.value]));
let last = null; // the cell that was typed in last
let isChanged = false;

const rows = () => [...body.querySelectorAll("tr[data-row]")];
const cell = (row, column) => row?.querySelector(`input[data-column="${column}"]`);
const cells = (row) => [...row.querySelectorAll("input[data-column]")];
const isUsed = (row) => cells(row).some((input) => input.value.trim());
const rowOf = (input) => input.closest("tr");

// "Z3-SD-09" → "Z3-SD-10"; a tag without a number stays as it is.
const after = (text) => text.replace(/[0-9]{1,6}$/, (number) => String(Number(number) + 1).padStart(number.length, "0"));
const nextValue = (column, text) => (column === "tag" || (column === "order_on_line" && text) ? after(text) : text);

const put = (input, text) => {
  if (!input || input.value === text) return;
  input.value = text;
  input.removeAttribute("aria-invalid");
  input.closest("td").classList.remove("faulty");
  isChanged = true;
};

const addRow = () => {
  const all = rows();
  if (all.length >= most) return null;
  const row = all.at(-1).cloneNode(true);
  const number = Number(row.dataset.row) + 1;
  row.dataset.row = number;
  row.querySelector("th").textContent = number;
  for (const input of cells(row)) {
    const column = input.dataset.column;
    input.id = input.name = `${column}-${number}`;
    input.value = "";
    input.removeAttribute("aria-invalid");
    input.removeAttribute("aria-describedby");
    input.closest("td").classList.remove("faulty");
    input.setAttribute("aria-label", `${input.closest("td").dataset.label}, row ${number}`);
  }
  row.querySelector("[data-repeat]")?.setAttribute("aria-label", `Repeat row ${number}`);
  body.append(row);
  return row;
};

const rowAfter = (row) => rows()[rows().indexOf(row) + 1] || addRow();
const focus = (input) => {
  input?.focus();
  input?.select();
};

// The letters of a tag say its kind: CP4 is a manual call point. Only where no kind is typed.
const proposeKind = (row) => {
  if (!cell(row, "tag")) return; // a table of something else
  const kind = cell(row, "kind");
  const found = cell(row, "tag").value.trim().toUpperCase().match(/(?:^|[^A-Z])([A-Z]{1,2})[-_. ]?[0-9]+$/);
  if (kind && !kind.value && found && letters.has(found[1])) put(kind, letters.get(found[1]));
};

const fillFromAbove = (input) => {
  const all = rows();
  const above = all[all.indexOf(rowOf(input)) - 1];
  if (!above) return;
  const column = input.dataset.column;
  put(input, nextValue(column, cell(above, column).value));
  if (column === "tag") proposeKind(rowOf(input));
};

// From the cell last typed in (else the first that holds something) to the last row in use.
const fillDown = (column) => {
  const all = rows();
  const typed = last?.dataset.column === column && last.value ? rowOf(last) : all.find((row) => cell(row, column).value);
  const lastUsed = all.findLastIndex(isUsed);
  if (!typed || lastUsed < 0) return;
  let text = cell(typed, column).value;
  for (const row of all.slice(all.indexOf(typed) + 1, lastUsed + 1)) {
    text = nextValue(column, text);
    put(cell(row, column), text);
    if (column === "tag") proposeKind(row);
  }
};

const repeat = (row) => {
  const all = rows();
  const free = all[all.findLastIndex(isUsed) + 1] || addRow();
  if (!free || !isUsed(row)) return;
  for (const input of cells(row)) put(cell(free, input.dataset.column), input.dataset.column === "tag" ? "" : nextValue(input.dataset.column, input.value));
  const taken = new Set(all.map((other) => cell(other, "tag").value.trim().toUpperCase()));
  let tag = after(cell(row, "tag").value);
  while (tag && tag !== after(tag) && taken.has(tag.toUpperCase())) tag = after(tag);
  put(cell(free, "tag"), taken.has(tag.toUpperCase()) ? "" : tag);
  free.hidden = false;
  focus(cell(free, "tag"));
};

const paste = (input, text) => {
  const block = text.replace(/\r\n?/g, "\n").replace(/\n$/, "").split("\n").map((line) => line.split("\t"));
  const columns = cells(rowOf(input)).map((other) => other.dataset.column);
  const start = columns.indexOf(input.dataset.column);
  let row = rowOf(input);
  for (const [place, line] of block.entries()) {
    if (place) row = rowAfter(row);
    if (!row) break;
    row.hidden = false;
    line.forEach((value, offset) => put(cell(row, columns[start + offset]), value.trim()));
    if (!start) proposeKind(row);
  }
};

const move = (input, by) => {
  const all = rows();
  const target = by > 0 ? rowAfter(rowOf(input)) : all[all.indexOf(rowOf(input)) - 1];
  if (!target) return;
  target.hidden = false;
  focus(cell(target, input.dataset.column));
};

table.addEventListener("keydown", (event) => {
  const input = event.target;
  if (!input.matches("input[data-column]") || event.altKey) return;
  const key = event.key.toLowerCase();
  if (key === "d" && (event.ctrlKey || event.metaKey)) {
    event.preventDefault();
    fillFromAbove(input);
    move(input, 1);
  } else if (key === "enter") {
    event.preventDefault(); // else the whole table would be sent
    move(input, event.shiftKey ? -1 : 1);
  } else if ((key === "arrowdown" || key === "arrowup") && !input.list) {
    event.preventDefault(); // in a cell with proposals the arrows choose among them
    move(input, key === "arrowdown" ? 1 : -1);
  }
});
table.addEventListener("paste", (event) => {
  const text = event.clipboardData.getData("text/plain");
  if (!event.target.matches("input[data-column]") || !/[\t\n]/.test(text.trimEnd())) return;
  event.preventDefault();
  paste(event.target, text);
});
table.addEventListener("focusin", (event) => {
  if (event.target.matches("input[data-column]")) last = event.target;
});
table.addEventListener("input", () => (isChanged = true));
table.addEventListener("change", (event) => {
  if (event.target.dataset.column === "tag") proposeKind(rowOf(event.target));
});
table.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (button?.dataset.fill) fillDown(button.dataset.fill);
  else if (button && "repeat" in button.dataset) repeat(button.closest("tr"));
});

const more = document.querySelector("[data-more]");
const isNarrow = matchMedia("(max-width: 900px)").matches;
more.addEventListener("click", () => {
  const free = rows().find((row) => row.hidden);
  const added = free ? [free] : Array.from({ length: isNarrow ? 1 : 10 }, addRow).filter(Boolean);
  for (const row of added) row.hidden = false;
  focus(added[0] && cells(added[0])[0]);
});
if (isNarrow) {
  // On a phone rows stand below each other: one empty one is enough.
  more.textContent = "One more row";
  const all = rows();
  for (const row of all.slice(all.findLastIndex(isUsed) + 2)) row.hidden = true;
} else focus(body.querySelector("[aria-invalid]") || rows().map((row) => cells(row)[0]).find((input) => !input.value));

// What is typed is not lost by a slip of the mouse.
table.closest("form").addEventListener("submit", () => (isChanged = false));
window.addEventListener("beforeunload", (event) => isChanged && event.preventDefault());
for (const part of document.querySelectorAll("[data-grid-hint], [data-more], [data-fill], [data-repeat]")) part.hidden = false;
