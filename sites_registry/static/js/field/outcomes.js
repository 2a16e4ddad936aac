// What an outcome asks for before it can be recorded, on the screen of its test: the questions, and what still lacks.

import { passRefusal, readingOf } from "./judge.js";
import { figuresIn } from "./plate_figures.js";

export function outcomeInput(form) {
  return form.querySelector("[data-outcome]");
}

/** Ask what this outcome needs; "" brings the outcomes back. */
export function ask(form, outcome, word = "") {
  outcomeInput(form).value = outcome;
  if (!outcome) return void delete form.dataset.asking;
  form.dataset.asking = outcome;
  form.querySelector("[data-record-word]").textContent = `Record ${word}`;
}

/** Whether a pass has to say more than that it is one. */
export function passAsks(form, point, isFinished) {
  return point.is_done || point.has_failed || isFinished || Boolean(form.querySelector('[name="closes"]'));
}

/** What a pass lacks, in a few words for its button; empty where nothing lacks. */
export function passLacks(form, point) {
  if (!point.quantity) return "";
  const text = form.elements.reading.value;
  const reading = readingOf(text);
  if (reading === null) return point.is_reading_required ? `enter the ${point.quantity} first` : "";
  if (Number.isNaN(reading)) return "the reading is not a number";
  return passRefusal(point, reading, figuresIn(form)) ? "not with this reading" : "";
}
