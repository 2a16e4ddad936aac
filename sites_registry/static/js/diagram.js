// A drawing to be moved and sized. The view scrolls by itself (touch, wheel, arrow keys, bars), with or without this
// module; here come its size (buttons, + − 0, pinch, wheel with Ctrl) and dragging with the mouse.
const SMALLEST = 0.1;
const LARGEST = 4;
const STEP = 1.25;
const FEWEST_PIXELS = 4; // a click that trembles is no drag
const SMALLEST_READABLE = 0.73; // letters of about 11 pixels

for (const diagram of document.querySelectorAll("[data-diagram]")) start(diagram);

function start(diagram) {
  const view = diagram.querySelector("[data-view]");
  const picture = view.querySelector("svg");
  if (!picture) return;
  const box = picture.getBoundingClientRect();
  const full = { width: box.width, height: box.height };
  const readout = diagram.querySelector("[data-size]");
  let size = 1;

  function show(wanted, at = { x: view.clientWidth / 2, y: view.clientHeight / 2 }) {
    const next = Math.min(LARGEST, Math.max(SMALLEST, wanted));
    const left = (view.scrollLeft + at.x) / size;
    const top = (view.scrollTop + at.y) / size;
    size = next;
    picture.style.width = `${full.width * size}px`;
    picture.style.height = `${full.height * size}px`;
    view.scrollLeft = left * size - at.x;
    view.scrollTop = top * size - at.y;
    const percent = `${Math.round(size * 100)} %`;
    readout.textContent = percent;
    readout.setAttribute("aria-label", `Size ${percent}, back to 100 %`);
  }

  const toWidth = () => view.clientWidth / full.width;
  const sizes = {
    in: () => size * STEP,
    out: () => size / STEP,
    width: toWidth,
    whole: () => Math.min(toWidth(), view.clientHeight / full.height),
    full: () => 1,
  };
  const keys = { "+": "in", "=": "in", "-": "out", 0: "full" };

  diagram.querySelector("[data-tools]").hidden = false;
  for (const button of diagram.querySelectorAll("[data-zoom]")) {
    button.addEventListener("click", () => show(sizes[button.dataset.zoom]()));
  }
  view.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !(event.key in keys)) return;
    event.preventDefault();
    show(sizes[keys[event.key]]());
  });
  view.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    show(size * (event.deltaY < 0 ? STEP : 1 / STEP), within(view, event));
  }, { passive: false });
  listenToPinch(view, () => size, show);
  listenToDrag(view);
  // A drawing a little wider than the view is fitted to it, as far as it stays readable; a wider one begins full size,
  // but for one whose ends must be seen together (data-fits): what is pressed at its left moves something at its right.
  const fitted = toWidth();
  if (fitted >= SMALLEST_READABLE || "fits" in diagram.dataset) show(Math.min(fitted, 1));
  if (diagram.dataset.keeps) keepPlace(diagram.dataset.keeps, view, () => size, show);
}

// A drawing that is pressed comes again: it stays where it was and as large.
function keepPlace(name, view, sizeNow, show) {
  const kept = JSON.parse(sessionStorage.getItem(name) || "null");
  if (kept && kept.size > 0) {
    show(kept.size);
    view.scrollLeft = kept.left;
    view.scrollTop = kept.top;
  }
  window.addEventListener("pagehide", () => {
    const place = { size: sizeNow(), left: view.scrollLeft, top: view.scrollTop };
    sessionStorage.setItem(name, JSON.stringify(place));
  });
}

function within(view, point) {
  const box = view.getBoundingClientRect();
  return { x: point.clientX - box.left, y: point.clientY - box.top };
}

function listenToPinch(view, sizeNow, show) {
  let begun = null;
  const spread = (touches) => Math.hypot(
    touches[0].clientX - touches[1].clientX, touches[0].clientY - touches[1].clientY,
  );
  view.addEventListener("touchstart", (event) => {
    begun = event.touches.length === 2 ? { spread: spread(event.touches), size: sizeNow() } : null;
  }, { passive: true });
  view.addEventListener("touchmove", (event) => {
    if (!begun || event.touches.length !== 2) return;
    event.preventDefault();
    const [a, b] = event.touches;
    const middle = { clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 };
    show(begun.size * spread(event.touches) / begun.spread, within(view, middle));
  }, { passive: false });
  view.addEventListener("touchend", () => { begun = null; });
}

function listenToDrag(view) {
  let from = null;
  let isDragged = false;
  view.addEventListener("pointerdown", (event) => {
    isDragged = false;
    // Text stays selectable.
    if (event.pointerType !== "mouse" || event.button !== 0 || event.target.closest("text")) return;
    from = { x: event.clientX, y: event.clientY, left: view.scrollLeft, top: view.scrollTop };
  });
  view.addEventListener("pointermove", (event) => {
    if (!from) return;
    const [x, y] = [event.clientX - from.x, event.clientY - from.y];
    if (!isDragged && Math.hypot(x, y) < FEWEST_PIXELS) return;
    if (!isDragged) {
      isDragged = true;
      // Not before it moves: a captured pointer would take the click from the link under it.
      view.setPointerCapture(event.pointerId);
      view.classList.add("is-dragged");
    }
    view.scrollLeft = from.left - x;
    view.scrollTop = from.top - y;
  });
  for (const name of ["pointerup", "pointercancel"]) {
    view.addEventListener(name, () => { from = null; view.classList.remove("is-dragged"); });
  }
  view.addEventListener("dragstart", (event) => event.preventDefault());
  view.addEventListener("click", (event) => { if (isDragged) event.preventDefault(); }, { capture: true });
}
