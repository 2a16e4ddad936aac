// The same test at several positions of one place, as the detectors of a room: one touch records a pass at each that is
// ticked, each an answer of its own. It says what is stated of each. One "Undo" takes back all that has not been sent.

import { answerAt } from "./answer.js";
import { stateElement } from "./card.js";
import { letListRest } from "./screen.js";

const counted = (number, noun) => `${number} ${noun}${number === 1 ? "" : "s"}`;
const tagsOf = (rows) => rows.map(({ stop }) => stop.tag).join(", ");

function element(name, className, ...content) {
  const made = document.createElement(name);
  made.className = className;
  made.append(...content);
  return made;
}

function choiceOf({ stop, point }, isTicked) {
  const box = Object.assign(document.createElement("input"), { type: "checkbox", value: point, checked: isTicked });
  return element("label", "", box, element("span", "tag", stop.tag));
}

/** One group: its statement, its positions to tick, and the button that records. */
function groupElement({ test, room, rows }, passed, onPass) {
  const legend = element("legend", "", [room, test.title].filter(Boolean).join(": "));
  const said = element("p", "", `You did this at each that is ticked, and saw at each: ${test.expected}`);
  const caution = test.caution ? [element("div", "point-caution", element("p", "", element("strong", "", "▲"), ` ${test.caution}`))] : [];
  const choices = element("div", "choice-list", ...rows.map((row) => choiceOf(row, passed.has(row.point))));
  const button = Object.assign(element("button", "button wide"), { type: "button" });
  const all = Object.assign(element("button", "button", `Tick all ${rows.length}`), { type: "button" });
  const group = element("fieldset", "same-test-group", legend, said, ...caution, choices, all, button);
  const ticked = () => rows.filter(({ point }) => choices.querySelector(`[value="${point}"]`).checked);
  const show = () => {
    const number = ticked().length;
    button.textContent = number ? `Pass at ${number}` : "Tick where it passed";
    button.disabled = !number;
  };
  choices.addEventListener("change", ({ target }) => {
    if (target.checked) passed.add(Number(target.value));
    else passed.delete(Number(target.value));
    show();
  });
  all.addEventListener("click", () => {
    for (const box of choices.querySelectorAll("input")) box.checked = true;
    for (const { point } of rows) passed.add(point);
    show();
  });
  button.addEventListener("click", () => {
    button.disabled = true; // a second touch records nothing more
    onPass(test, ticked());
  });
  show();
  return group;
}

/** `answered` gives the test points answered on this phone, `isTyped` whether something is half written at one; `onRecorded` is called when all are kept, `onTakenBack` with the answers of an undo. */
export function offerAlike({ alike, stops, queue, outcomes, answered, isTyped, onRecorded, onTakenBack }) {
  const passed = new Set(); // ticked by the person: nothing is stated of a place that nobody named
  const shownIn = new WeakMap(); // fold → what it shows, in short: what stays as it is keeps its focus
  const line = document.querySelector("[data-together-last]");
  let last = null; // {test, rows, answers}

  function say(text, mayUndo) {
    line.hidden = false;
    line.querySelector("span").replaceChildren(...text);
    line.querySelector("button").hidden = !mayUndo;
  }

  function sayLast() {
    const uuids = new Set(last.answers.map((answer) => answer.client_uuid));
    const held = queue.entries.filter(({ answer }) => uuids.has(answer.client_uuid));
    const fate = held.some(({ refused }) => refused) ? "not all recorded: see above" : held.length ? "not sent yet" : "recorded";
    say([`${last.test.title}, ${tagsOf(last.rows)}: `, stateElement(outcomes.pass), ` · ${fate}`], held.some(({ left, refused }) => !left && !refused));
  }

  async function pass(test, rows) {
    letListRest();
    const answers = rows.map(({ point }) => answerAt(point, "pass", queue.clock));
    last = { test, rows, answers };
    const told = rows.map(({ stop }) => ({ label: `${stop.tag}, ${test.title}`, words: "pass", isFirst: true, href: stop.url }));
    await queue.addAll(answers.map((answer, i) => ({ answer, told: told[i] })), { isUnhurried: true });
    onRecorded();
    show();
    document.getElementById(rows[0].stop.anchor).closest(".storey").querySelector("[data-alike]").before(line);
    line.scrollIntoView({ block: "center" });
    line.focus({ preventScroll: true }); // the button is gone; "Undo" is next
  }

  async function undo() {
    const { test, rows, answers } = last;
    last = null;
    const [back, standing] = [[], []];
    for (const [i, answer] of answers.entries()) {
      if (await queue.takeBack({ answer })) back.push(answer);
      else standing.push(rows[i]);
    }
    onTakenBack(back);
    show();
    const links = standing.flatMap(({ stop, point }) => [" ", Object.assign(element("a", "tag", stop.tag), { href: `${stop.url}#point-${point}` })]);
    say([`${test.title}: ${counted(back.length, "answer")} taken back.`, ...(links.length ? [" Sent already, so change it there:", ...links] : [])], false);
  }

  function groupsHere() {
    const done = answered();
    const isOpen = ({ stop, point }) => document.getElementById(stop.anchor) && !done.has(point) && !isTyped(point);
    const groups = alike.groups.map(({ test, room, points }) => ({
      test: alike.tests[test],
      room,
      rows: points.map(([point, stop]) => ({ point, stop: stops[stop] })).filter(isOpen),
    }));
    return groups.filter(({ rows }) => rows.length > 1);
  }

  function showIn(fold, groups) {
    fold.hidden = !groups.length;
    const inShort = JSON.stringify(groups.map(({ test, room, rows }) => [test.title, room, rows.map(({ point }) => point)]));
    if (!fold.open || shownIn.get(fold) === inShort) return;
    shownIn.set(fold, inShort);
    fold.querySelector("div").replaceChildren(...groups.map((group) => groupElement(group, passed, pass)));
  }

  function show() {
    const groups = groupsHere();
    for (const fold of document.querySelectorAll("[data-alike]")) {
      const storey = fold.closest(".storey");
      showIn(fold, groups.filter(({ rows }) => storey.contains(document.getElementById(rows[0].stop.anchor))));
    }
    if (last) sayLast();
  }

  line.querySelector("button").addEventListener("click", undo);
  for (const fold of document.querySelectorAll("[data-alike]")) fold.addEventListener("toggle", show);
  queue.addEventListener("change", show);
  show();
}
