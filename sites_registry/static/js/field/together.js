// "All as expected here": one touch records a pass at each open point of the page that needs nothing more said.
// It lists what is stated. A point with a reading is among them only once its reading is typed and nothing speaks against it.

import { inWords } from "./card.js";
import { judge, readingOf } from "./judge.js";
import { outcomeInput } from "./outcomes.js";
import { figuresIn } from "./plate_figures.js";

/** Whether a plain pass is all that is missing at this point. */
function isReady(form, point) {
  const isOpen = !("done" in form.closest(".point").dataset) && !point.is_done && !point.has_failed;
  if (!isOpen || form.querySelector('[name="closes"]')) return false;
  if (!["", "pass"].includes(outcomeInput(form).value)) return false;
  if (!point.quantity) return true;
  const text = form.elements.reading.value;
  return readingOf(text) !== null && (judge(point, text, figuresIn(form))?.tone ?? "good") === "good";
}

function itemOf(form, point) {
  const item = document.createElement("li");
  const title = document.createElement("strong");
  const reading = point.quantity ? inWords({ reading: form.elements.reading.value.trim() }, point) : "";
  title.textContent = [point.title, reading].filter(Boolean).join(" · ");
  item.append(title, `: ${point.expected}`);
  const caution = form.querySelector(".point-caution");
  if (caution) item.append(caution.cloneNode(true));
  return item;
}

/** Keep the list of the tests up to date; `record` is called with the forms of the points that are stated. */
export function stateTogether(section, points, record) {
  const forms = [...document.querySelectorAll("form[data-answer]")];
  const pointOf = (form) => points.get(Number(form.elements.test_point.value));
  const ready = () => forms.filter((form) => isReady(form, pointOf(form)));
  const button = section.querySelector("button");

  function show() {
    const stated = ready();
    const open = forms.filter((form) => !("done" in form.closest(".point").dataset)).length;
    section.hidden = stated.length < 2;
    section.querySelector("ul").replaceChildren(...stated.map((form) => itemOf(form, pointOf(form))));
    button.textContent = `All ${stated.length} as expected`;
    const left = open - stated.length;
    section.querySelector("[data-left]").textContent = left ? `${left} not among them: a reading to type, or something to say.` : "";
  }

  button.addEventListener("click", () => {
    record(ready());
    show();
  });
  document.addEventListener("input", show);
  document.addEventListener("change", show);
  show();
  return show;
}
