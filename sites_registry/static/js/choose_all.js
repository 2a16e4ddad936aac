// A group of boxes to tick gets a button that ticks them all, and back again.

for (const group of document.querySelectorAll("[data-choices]")) {
  const boxes = [...group.querySelectorAll("input[type=checkbox]")];
  if (boxes.length < 2) continue;
  const button = Object.assign(document.createElement("button"), { type: "button", className: "button small" });
  const all = () => boxes.every((box) => box.checked);
  const show = () => { button.textContent = all() ? "Tick none" : `Tick all ${boxes.length}`; };
  button.addEventListener("click", () => {
    const tick = !all();
    for (const box of boxes) box.checked = tick;
    show();
  });
  group.addEventListener("change", show);
  show();
  group.querySelector("ul").before(button);
}

// What is ticked is accepted in its words: a fold that hides some of it opens first, and the button is pressed again.
document.addEventListener("submit", (event) => {
  const hidden = [...event.target.querySelectorAll("[data-choices] details:not([open]) input:checked")];
  if (!hidden.length) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  for (const box of hidden) box.closest("details").open = true;
  hidden[0].focus();
}, { capture: true });
