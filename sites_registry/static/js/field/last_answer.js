// What was answered last, with its way back. It is kept over the page that follows, so that a slip is seen there too.

import { stateElement } from "./card.js";

// Enough to know one's own remark again; all of it would take the room of the test.
const MOST_OF_THE_WORDS = 24;

export class LastAnswer {
  constructor({ person, visit, queue, onUndo }) {
    this.place = `last answer of ${person} on visit ${visit}`;
    this.queue = queue;
    this.line = document.querySelector("[data-last]");
    this.line?.querySelector("[data-undo]").addEventListener("click", () => onUndo(this.told));
    this.told = this.#load();
    queue.addEventListener("change", () => this.show());
    addEventListener("pageshow", (event) => {
      if (!event.persisted) return; // a page that the browser kept: another may have answered since
      this.told = this.#load();
      this.show();
    });
  }

  /** `told`: {answers, label, state, words, notes, href}, and `isUndone` while a page that shows the tests is on its way. */
  tell(told) {
    this.told = told;
    try {
      if (told) sessionStorage.setItem(this.place, JSON.stringify(told));
      else sessionStorage.removeItem(this.place);
    } catch {
      // No storage: it is told on this page only.
    }
    this.show();
  }

  /** One more answer of the same touch. */
  add(answer) {
    const { answers, label } = this.told;
    const first = label.replace(/ and \d+ more$/, "");
    this.tell({ ...this.told, answers: [...answers, answer], label: `${first} and ${answers.length} more`, words: "" });
  }

  note(answer, notes) {
    if (notes.length && this.told?.answers.some((one) => one.client_uuid === answer.client_uuid))
      this.tell({ ...this.told, notes: [...this.told.notes, ...notes] });
  }

  /** Stand in the dock of the screen that is shown, under the thumb. */
  standIn(screen) {
    screen.querySelector(".dock").prepend(this.line);
    this.show();
  }

  show() {
    if (!this.line) return;
    this.line.hidden = !this.told || Boolean(this.told.isUndone);
    if (this.line.hidden) return;
    const { label, state, words, notes } = this.told;
    const shortly = words?.length > MOST_OF_THE_WORDS ? `${words.slice(0, MOST_OF_THE_WORDS)}…` : words;
    const rest = [shortly, this.#fate(), ...notes].filter(Boolean).join(" · ");
    this.line.querySelector("[data-last-words]").replaceChildren(`${label}: `, stateElement(state), ` · ${rest}`);
  }

  #fate() {
    const uuids = this.told.answers.map((answer) => answer.client_uuid);
    const held = this.queue.entries.filter((entry) => uuids.includes(entry.answer.client_uuid));
    if (held.some((entry) => entry.refused)) return "not recorded";
    return held.length ? "not sent yet" : "recorded";
  }

  #load() {
    try {
      return JSON.parse(sessionStorage.getItem(this.place));
    } catch {
      return null;
    }
  }
}
