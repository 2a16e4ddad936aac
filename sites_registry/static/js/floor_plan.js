// Placing positions on a floor plan: dragged from the list or on the plan, chosen and tapped, moved by arrow keys, or a
// run spread along a tapped line. Each change is stored at once and can be taken back. Without this module there is a
// form that takes figures.

const FEWEST_PIXELS = 4; // a tap that trembles is no drag
const KEY_STEP = 0.002; // of width and height
const KEY_PAUSE_MS = 600;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const SVG = "http://www.w3.org/2000/svg";

const data = JSON.parse(document.getElementById("plan-data").textContent);
const plan = document.querySelector("[data-plan]");
const diagram = plan.closest("[data-diagram]");
const tools = document.querySelector("[data-plan-tools]");
const [said, undoButton, offButton] = ["said", "undo", "take-off"].map((name) => tools.querySelector(`[data-${name}]`));
const openLink = tools.querySelector("[data-open]");
const [runFirst, runLast, runBegin, runEnd] = ["first", "last", "begin", "end"].map((name) => tools.querySelector(`[data-run-${name}]`));
const lists = { placed: document.querySelector("[data-placed]"), unplaced: document.querySelector("[data-unplaced]") };

const positions = new Map(data.positions.map((one) => [one.id, one]));
const undone = []; // what takes each change back, the newest last
let chosen = null;
let run = null; // points of the line that is being tapped

const rowOf = (id) => document.querySelector(`.plan-positions [data-choose="${id}"]`).closest("li");
const pinOf = (id) => plan.querySelector(`.plan-pin[data-position="${id}"]`);
const inPercent = (part) => `${(part * 100).toFixed(3)}%`;
const isOn = (one) => one.x !== null;

function tell(text) {
  said.textContent = text;
}

function choose(id) {
  chosen = id;
  for (const button of document.querySelectorAll("[data-choose]")) button.setAttribute("aria-pressed", Number(button.dataset.choose) === id);
  for (const pin of plan.querySelectorAll(".plan-pin")) pin.classList.toggle("is-chosen", Number(pin.dataset.position) === id);
  diagram.classList.toggle("is-placing", id !== null || run !== null);
  const one = positions.get(id);
  offButton.disabled = !one || !isOn(one);
  openLink.hidden = !one;
  if (one) openLink.href = one.url;
  if (one) tell(isOn(one) ? `${one.tag} is chosen: tap or drag it elsewhere, or move it with the arrow keys.` : `${one.tag} is chosen: tap its place on the plan, or bring it there with the arrow keys.`);
}

/** Where on the plan a pointer is, in parts of width and height; null beside it. */
function partOf({ clientX, clientY }) {
  const box = plan.getBoundingClientRect();
  const view = diagram.querySelector("[data-view]").getBoundingClientRect();
  const isSeen = clientX >= view.left && clientX <= view.right && clientY >= view.top && clientY <= view.bottom;
  const [x, y] = [(clientX - box.left) / box.width, (clientY - box.top) / box.height];
  return isSeen && x >= 0 && x <= 1 && y >= 0 && y <= 1 ? { x, y } : null;
}

function element(name, attributes, text = "") {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.textContent = text;
  return made;
}

function newPin(one) {
  const pin = element("svg", { class: "plan-pin", width: 1, height: 1, overflow: "visible", "data-position": one.id });
  const link = element("a", { href: one.url, "aria-label": one.said });
  const shape = one.shape === "circle" ? { r: 11 } : { x: -12, y: -9, width: 24, height: 18 };
  link.append(
    element("title", {}, one.said),
    element("rect", { class: "pin-target", x: -22, y: -22, width: 44, height: 44 }),
    element(one.shape === "circle" ? "circle" : "rect", { class: `pin-shape ${one.shape}`, ...shape }),
    element("text", { class: "pin-letters", y: 4 }, one.letters),
    element("text", { class: "pin-tag", y: 24 }, one.tag),
    element("text", { class: "pin-state", x: 17, y: -6 }),
  );
  pin.append(link);
  plan.append(pin);
  return pin;
}

function showAt(pin, { x, y }) {
  pin.setAttribute("x", inPercent(x));
  pin.setAttribute("y", inPercent(y));
}

/** Show a position where it is now: its pin, and its row in the list where it belongs. */
function show(one) {
  const pin = pinOf(one.id);
  if (!isOn(one)) pin?.remove();
  else {
    showAt(pin ?? newPin(one), one);
  }
  const list = isOn(one) ? lists.placed : lists.unplaced;
  const row = rowOf(one.id);
  if (row.parentElement !== list) {
    const focused = row.querySelector(":focus");
    list.append(row);
    focused?.focus({ preventScroll: true }); // who places by keys goes on with this one
  }
  document.querySelector("[data-placed-number]").textContent = [...positions.values()].filter(isOn).length;
  document.querySelector("[data-none-unplaced]").hidden = lists.unplaced.childElementCount > 0;
}

/** After somebody put it there it is confirmed: nothing of it is to be confirmed any more. */
function showConfirmed(one) {
  const mark = pinOf(one.id)?.querySelector(".pin-state");
  if (mark) mark.textContent = "";
  for (const each of rowOf(one.id).querySelectorAll(".state, form")) each.remove();
}

async function send(body) {
  const token = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];
  const response = await fetch(data.places_url, {
    method: "POST",
    headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": token },
    body: JSON.stringify(body),
  });
  const isOurs = response.headers.get("Content-Type")?.startsWith("application/json");
  if (!isOurs) throw new Error(`The register answered ${response.status}. Log in again, then reload this page.`);
  return { response, answer: await response.json() };
}

/** Take what the register holds now: {id, x, y, version} of each place. */
function take(places) {
  const there = new Map(places.map((place) => [place.id, place]));
  for (const one of positions.values()) {
    const { x = null, y = null, version = null } = there.get(one.id) ?? {};
    Object.assign(one, { x, y, version });
    show(one);
  }
}

let sending = Promise.resolve(); // one after the other: each knows the versions that the one before made

/** Store a change; `body` is made when its turn comes. What it takes to undo it is kept. */
function store(body, words, isUndo = false) {
  sending = sending.then(async () => {
    const before = new Map([...positions.values()].map(({ id, x, y }) => [id, { x, y }]));
    try {
      const { response, answer } = await send(body());
      if (answer.places) take(answer.places);
      if (!response.ok) return tell(answer.message);
      const moved = [...positions.values()].filter((one) => one.x !== before.get(one.id).x || one.y !== before.get(one.id).y);
      moved.filter(isOn).forEach(showConfirmed);
      if (!isUndo && moved.length) undone.push(moved.map(({ id }) => ({ id, ...before.get(id) })));
      tell(words(moved.length));
    } catch (error) {
      for (const one of positions.values()) Object.assign(one, before.get(one.id));
      positions.forEach(show);
      tell(`Not stored: ${error.message}`);
    }
    undoButton.disabled = !undone.length;
    offButton.disabled = chosen === null || !isOn(positions.get(chosen));
    return undefined;
  });
  return sending;
}

const moveOf = (id, { x, y }) => ({ position: id, x, y, seen: positions.get(id).version });

function place(id, at) {
  const one = positions.get(id);
  const words = isOn(one) ? "moved" : "placed";
  return store(() => ({ moves: [moveOf(id, at)] }), () => `${one.tag} ${words}.`);
}

/** Tapping on: the next of the list without a place is chosen at once. */
async function placeAndGoOn(id, at) {
  const next = isOn(positions.get(id)) ? null : rowOf(id).nextElementSibling?.querySelector("[data-choose]");
  await place(id, at);
  if (chosen !== id || !isOn(positions.get(id))) return;
  const stored = said.textContent;
  choose(next ? Number(next.dataset.choose) : null);
  tell(next ? `${stored} ${said.textContent}` : stored);
}

function takeOff() {
  const one = positions.get(chosen);
  choose(null);
  return store(() => ({ moves: [moveOf(one.id, { x: null, y: null })] }), () => `${one.tag} taken off the plan.`);
}

function undo() {
  const back = undone.pop();
  if (!back) return;
  choose(null);
  store(() => ({ moves: back.map(({ id, x, y }) => moveOf(id, { x, y })) }), (count) => `Taken back: ${count} as before.`, true);
}

// What a pointer takes along while it is down; `follow` hears where it is, `drop` where it was let go.
let wasDragged = false; // its click means nothing
addEventListener("pointerdown", () => { wasDragged = false; }, { capture: true });

function drag(event, follow, drop) {
  event.stopPropagation(); // the plan itself is not moved
  const from = { x: event.clientX, y: event.clientY };
  const move = (now) => {
    wasDragged ||= Math.hypot(now.clientX - from.x, now.clientY - from.y) >= FEWEST_PIXELS;
    if (wasDragged) follow(now);
  };
  const end = (now) => {
    removeEventListener("pointermove", move);
    for (const name of ["pointerup", "pointercancel"]) removeEventListener(name, end);
    if (wasDragged) drop(now.type === "pointerup" && partOf(now));
  };
  addEventListener("pointermove", move);
  for (const name of ["pointerup", "pointercancel"]) addEventListener(name, end);
}

const isMouse = (event) => event.pointerType === "mouse" && event.button === 0; // a finger scrolls: it taps and taps

function dragFromList(event, id) {
  const ghost = document.createElement("span");
  ghost.className = "plan-ghost tag";
  ghost.textContent = positions.get(id).tag;
  const follow = ({ clientX, clientY }) => {
    document.body.append(ghost);
    ghost.style.left = `${clientX + 8}px`;
    ghost.style.top = `${clientY + 8}px`;
  };
  drag(event, follow, (at) => {
    ghost.remove();
    if (at) place(id, at);
    else tell(`${positions.get(id).tag} was let go beside the plan: nothing changed.`);
  });
}

function dragPin(event, pin) {
  const one = positions.get(Number(pin.dataset.position));
  const follow = (now) => {
    const at = partOf(now);
    if (at) showAt(pin, at);
  };
  drag(event, follow, (at) => (at ? place(one.id, at) : show(one)));
}

plan.addEventListener("pointerdown", (event) => {
  const pin = event.target.closest(".plan-pin");
  if (pin && !run && isMouse(event)) dragPin(event, pin);
});
plan.addEventListener("dragstart", (event) => event.preventDefault()); // a link would be dragged as such
plan.addEventListener("click", (event) => {
  const pin = event.target.closest(".plan-pin");
  if (pin) event.preventDefault();
  if (wasDragged) return;
  const at = partOf(event);
  if (run) {
    if (at) addToRun(at);
  } else if (pin && Number(pin.dataset.position) !== chosen) choose(Number(pin.dataset.position));
  else if (chosen !== null && at) placeAndGoOn(chosen, at);
});

for (const button of document.querySelectorAll("[data-choose]")) {
  const id = Number(button.dataset.choose);
  button.addEventListener("click", () => {
    if (wasDragged) return;
    choose(chosen === id ? null : id);
    if (chosen === id) diagram.scrollIntoView({ block: "nearest" }); // on a phone the list lies below it
  });
  button.addEventListener("pointerdown", (event) => isMouse(event) && dragFromList(event, id));
}

// Arrow keys move what is chosen; it is stored when they rest.
let resting = null;
addEventListener("keydown", (event) => {
  if (event.key === "Escape") {
    if (run) endRun();
    choose(null);
    return;
  }
  const step = ARROWS[event.key];
  const one = positions.get(chosen);
  if (!step || !one || event.ctrlKey || event.metaKey || event.altKey || event.target.closest("input, select, textarea, [data-view]:focus")) return;
  event.preventDefault();
  const size = KEY_STEP * (event.shiftKey ? 5 : 1);
  const from = one.wanted ?? (isOn(one) ? one : { x: 0.5, y: 0.5 });
  one.wanted = { x: Math.min(1, Math.max(0, from.x + step[0] * size)), y: Math.min(1, Math.max(0, from.y + step[1] * size)) };
  showAt(pinOf(one.id) ?? newPin(one), one.wanted);
  clearTimeout(resting);
  resting = setTimeout(() => {
    const at = one.wanted;
    delete one.wanted;
    place(one.id, at);
  }, KEY_PAUSE_MS);
});

// A run: its line is tapped point by point.
function fillRun() {
  const { compare } = new Intl.Collator("en", { numeric: true });
  const inOrder = [...positions.values()].sort((one, other) => compare(one.tag, other.tag));
  for (const select of [runFirst, runLast]) {
    select.replaceChildren(...inOrder.map(({ id, tag }) => new Option(tag, id)));
  }
}

function addToRun(at) {
  const layer = plan.querySelector(".plan-run");
  const last = run.at(-1);
  if (last) layer.append(element("line", { x1: inPercent(last.x), y1: inPercent(last.y), x2: inPercent(at.x), y2: inPercent(at.y) }));
  layer.append(element("circle", { cx: inPercent(at.x), cy: inPercent(at.y), r: 4 }));
  run.push(at);
  runEnd.disabled = run.length < 2;
  tell(run.length < 2 ? "Tap where the line goes on, then its end." : "Tap on, or spread the positions along the line.");
}

function endRun() {
  run = null;
  runEnd.disabled = true;
  plan.querySelector(".plan-run")?.remove();
  choose(null);
}

runBegin.addEventListener("click", () => {
  endRun();
  run = [];
  plan.append(element("g", { class: "plan-run" }));
  diagram.classList.add("is-placing");
  tell("Tap the start of the line on the plan, then each bend, then its end.");
});
runEnd.addEventListener("click", () => {
  const points = run.map(({ x, y }) => [x, y]);
  const [first, last] = [Number(runFirst.value), Number(runLast.value)];
  endRun();
  store(() => ({ run: { first, last, points } }), (count) => `${count} placed along the line.`);
});

undoButton.addEventListener("click", undo);
offButton.addEventListener("click", takeOff);
fillRun();
tools.hidden = false;
