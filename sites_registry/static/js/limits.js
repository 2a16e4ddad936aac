// What the design check says of the rows of a list takes longer than the list: it is asked for once the list is shown.

const AT_ONCE = 50;
const line = document.querySelector("[data-limits-at]");
const cells = new Map([...document.querySelectorAll("[data-limits-of]")].map((cell) => [cell.dataset.limitsOf, cell]));

async function ask(keys) {
  const query = new URLSearchParams(keys.map((key) => [line.dataset.limitsBy, key]));
  const answer = await fetch(`${line.dataset.limitsAt}?${query}`, { headers: { Accept: "application/json" } });
  if (!answer.ok || answer.redirected) throw new Error(`answered ${answer.status}`);
  for (const [key, mark] of Object.entries(await answer.json())) cells.get(key).innerHTML = mark;
}

async function fill() {
  const keys = [...cells.keys()];
  for (const cell of cells.values()) cell.setAttribute("aria-busy", "true");
  try {
    for (let first = 0; first < keys.length; first += AT_ONCE) await ask(keys.slice(first, first + AT_ONCE));
  } catch {
    line.textContent = "Whether all is within limits could not be asked. The design check that each row leads to says it.";
  } finally {
    for (const cell of cells.values()) cell.removeAttribute("aria-busy");
  }
}

if (cells.size) fill();
