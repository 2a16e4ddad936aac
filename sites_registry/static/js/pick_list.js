// A long list of boxes to tick gets a field that narrows it. What is ticked stays in sight and stays ticked.

const MANY = 8;

for (const list of pickLists()) {
  const rows = [...list.querySelectorAll(".form-check")];
  list.classList.add("pick-list");
  if (rows.length < MANY) continue;
  const narrow = Object.assign(document.createElement("input"), {
    type: "search", className: "form-control pick-narrow", placeholder: `Narrow the ${rows.length} rows …`,
  });
  narrow.setAttribute("aria-label", "Narrow the list");
  list.before(narrow);
  narrow.addEventListener("input", () => {
    const words = narrow.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const row of rows) {
      const text = row.textContent.toLowerCase();
      row.hidden = !row.querySelector("input").checked && !words.every((word) => text.includes(word));
    }
  });
  narrow.addEventListener("keydown", (event) => {
    if (event.key === "Enter") event.preventDefault();
  });
}

function pickLists() {
  return new Set([...document.querySelectorAll("input[data-pick]")].map((box) => box.closest(".form-check").parentElement));
}
