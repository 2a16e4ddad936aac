// The design check of the buildings of a list takes longer than the list: its marks are asked for once the list is shown.

const AT_ONCE = 50;
const line = document.querySelector("[data-limits-at]");
const cells = new Map([...document.querySelectorAll("[data-limits-of]")].map((cell) => [cell.dataset.limitsOf, cell]));

async function ask(slugs) {
  const query = new URLSearchParams(slugs.map((slug) => ["building", slug]));
  const answer = await fetch(`${line.dataset.limitsAt}?${query}`, { headers: { Accept: "application/json" } });
  if (!answer.ok || answer.redirected) throw new Error(`answered ${answer.status}`);
  for (const [slug, mark] of Object.entries(await answer.json())) cells.get(slug).innerHTML = mark;
}

async function fill() {
  const slugs = [...cells.keys()];
  for (const cell of cells.values()) cell.setAttribute("aria-busy", "true");
  try {
    for (let first = 0; first < slugs.length; first += AT_ONCE) await ask(slugs.slice(first, first + AT_ONCE));
  } catch {
    line.textContent = "Whether all is within limits could not be asked. The design check of each building says it.";
  } finally {
    for (const cell of cells.values()) cell.removeAttribute("aria-busy");
  }
}

if (cells.size) fill();
