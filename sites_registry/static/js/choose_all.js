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
