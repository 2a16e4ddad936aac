// What is typed and not yet recorded, kept on this phone: a reload, or a phone that closes the page, loses no reading.
// The place names the person, and a draft counts only while the answers at its point are those its author had seen.

import { fillIn } from "./answer.js";

const NOT_TYPED = ["client_uuid", "test_point", "knows", "csrfmiddlewaretoken"];

export class Drafts {
  constructor({ person, visit }) {
    this.start = `typed by ${person} on visit ${visit}: `;
  }

  keep(form, point) {
    const values = {};
    for (const [name, value] of new FormData(form)) {
      if (NOT_TYPED.includes(name) || !value.trim()) continue;
      if (name === "closes") (values.closes ??= []).push(Number(value));
      else values[name] = value;
    }
    if (Object.keys(values).length) this.#store(point, JSON.stringify({ known: point.known, values }));
    else this.drop(point);
  }

  /** Whether something is half written at the point of this number. */
  has(id) {
    try {
      return localStorage.getItem(this.start + id) !== null;
    } catch {
      return false;
    }
  }

  /** Whether something was put back. */
  putBack(form, point) {
    try {
      const draft = JSON.parse(localStorage.getItem(this.start + point.id));
      if (!draft) return false;
      if (draft.known.join() === point.known.join()) {
        fillIn(form, draft.values);
        return true;
      }
      this.drop(point);
    } catch {
      // No storage, or somebody wrote into it: the form stays empty.
    }
    return false;
  }

  drop(point) {
    try {
      localStorage.removeItem(this.start + point.id);
    } catch {
      // Nothing was stored.
    }
  }

  #store(point, text) {
    try {
      localStorage.setItem(this.start + point.id, text);
    } catch {
      // No storage: it stands in this page only.
    }
  }
}
