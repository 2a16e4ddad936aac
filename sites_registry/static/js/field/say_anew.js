/** Say these lines at a place. What says the same stays: it may have the focus, or a finger on it. */
export function sayAnew(place, lines) {
  const made = document.createElement("div");
  made.append(...lines);
  if (made.innerHTML !== place.innerHTML) place.replaceChildren(...made.childNodes);
}
