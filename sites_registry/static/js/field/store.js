// Answers that wait on this phone, over page loads, each in a place of its own: two tabs never write over each other.
// The place names the person, so that nobody's answers go out under the name of whoever logs in next.

const PLACE = /^answer of (\d+) on visit (\d+): /;

/** [{key, person, visit, kept}] of all that waits, whoever gave it; kept = {entry, name, at, href}. */
function everything() {
  const found = [];
  try {
    for (let i = 0; i < localStorage.length; i += 1) {
      const key = localStorage.key(i);
      const [, person, visit] = PLACE.exec(key) ?? [];
      if (person) found.push({ key, person: Number(person), visit: Number(visit), kept: JSON.parse(localStorage.getItem(key)) });
    }
  } catch {
    // No storage, or somebody wrote into it: what can be read is read.
  }
  return found.sort((one, other) => one.kept.order - other.kept.order);
}

/** What waits on this phone and is not sent from this page: [{person, visit, name, at, href, number}]. */
export function heldElsewhere(person, visit) {
  const held = new Map();
  for (const waiting of everything()) {
    if (waiting.person === person && waiting.visit === visit) continue;
    const key = `${waiting.person} ${waiting.visit}`;
    const { name, at, href } = waiting.kept;
    if (!held.has(key)) held.set(key, { person: waiting.person, visit: waiting.visit, name, at, href, number: 0 });
    held.get(key).number += 1;
  }
  return [...held.values()];
}

/** Keeps the answers of one person on one visit. Another store with these methods can take its place. */
export class BrowserStore {
  constructor({ person, visit, name, at, href }) {
    Object.assign(this, { person, visit, told: { name, at, href } });
  }

  load() {
    return everything()
      .filter((waiting) => waiting.person === this.person && waiting.visit === this.visit)
      .map((waiting) => waiting.kept.entry);
  }

  put(entry) {
    const key = this.#keyOf(entry);
    try {
      const order = JSON.parse(localStorage.getItem(key))?.order ?? 1 + Math.max(0, ...everything().map(({ kept }) => kept.order));
      localStorage.setItem(key, JSON.stringify({ ...this.told, order, entry }));
    } catch {
      // No storage: the answers still wait in this page, which asks before it is left.
    }
  }

  /** The entry as it lies on this phone now; null where it was taken away. */
  kept(entry) {
    try {
      return JSON.parse(localStorage.getItem(this.#keyOf(entry)))?.entry ?? null;
    } catch {
      return entry; // no storage: it is in this page only
    }
  }

  remove(entry) {
    try {
      localStorage.removeItem(this.#keyOf(entry));
    } catch {
      // Nothing was stored.
    }
  }

  #keyOf(entry) {
    return `answer of ${this.person} on visit ${this.visit}: ${entry.answer.client_uuid}`;
  }
}
