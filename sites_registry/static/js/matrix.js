// The cause-and-effect matrix by keyboard: arrows move, a letter sets the cell, Enter opens its page.
const table = document.querySelector("[data-matrix]");
const EFFECTS = new Set(["O", "C", "R", "T", "H", "B"]);
const token = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];

const rows = table ? [...table.querySelectorAll("tbody tr:not(.part)")] : [];
const linkAt = (row, column) => rows[row]?.cells[column]?.querySelector("a.effects");

function move(link, down, right) {
  const cell = link.closest("td");
  linkAt(rows.indexOf(cell.parentElement) + down, cell.cellIndex + right)?.focus();
}

async function formOf(link) {
  const page = new DOMParser().parseFromString(await (await fetch(link.href)).text(), "text/html");
  return page.querySelector("main form");
}

async function save(link, change) {
  const cell = link.closest("td");
  cell.setAttribute("aria-busy", "true");
  try {
    const form = await formOf(link);
    const data = new FormData(form);
    change(data, form);
    const answer = await fetch(link.href, { method: "POST", body: data, headers: { "X-CSRFToken": token, "X-Part": "cell" } });
    if (!answer.ok) {
      location.href = link.href; // the page of the cell says what is wrong
      return;
    }
    cell.innerHTML = await answer.text();
    cell.querySelector("a.effects").focus();
  } finally {
    cell.removeAttribute("aria-busy");
  }
}

const flip = (name) => (data) => (data.has(name) ? data.delete(name) : data.set(name, "on"));

function empty(data) {
  data.set("effect", "");
  ["signals", "is_latching", "is_cross_zone"].forEach((name) => data.delete(name));
  ["delay_s", "priority"].forEach((name) => data.set(name, ""));
}

table?.addEventListener("keydown", (event) => {
  const link = event.target.closest("a.effects");
  if (!link || event.ctrlKey || event.metaKey || event.altKey) return;
  const steps = { ArrowDown: [1, 0], ArrowUp: [-1, 0], ArrowRight: [0, 1], ArrowLeft: [0, -1] };
  const key = event.key.toUpperCase();
  if (steps[event.key]) move(link, ...steps[event.key]);
  else if (EFFECTS.has(key)) save(link, (data, form) => form.elements.effect && data.set("effect", key));
  else if (key === "S") save(link, flip("signals"));
  else if (key === "L") save(link, flip("is_latching"));
  else if (event.key === "Delete" || event.key === "Backspace") save(link, empty);
  else return;
  event.preventDefault();
});
