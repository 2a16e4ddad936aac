// The one way in which answers leave the page. An answer is stored first, then sent; it is dropped only when the
// server has given its verdict. The server takes each client UUID once, so that sending again never does harm.

const RETRY_AFTER_MS = 5000;

/** Keeps waiting answers over page loads. Another store with `load` and `save` can take its place. */
export class BrowserStore {
  constructor(key) {
    this.key = key;
  }
  load() {
    try {
      return JSON.parse(localStorage.getItem(this.key)) ?? [];
    } catch {
      return [];
    }
  }
  save(entries) {
    try {
      if (entries.length) localStorage.setItem(this.key, JSON.stringify(entries));
      else localStorage.removeItem(this.key);
    } catch {
      // No storage: the answers still wait in this page, which asks before it is left.
    }
  }
}

/**
 * Events: "change" when the number waiting changes, "verdict" (detail: {verdict, entry, progress}) per answer,
 * "discard" (detail: {entry}).
 */
export class AnswerQueue extends EventTarget {
  constructor({ url, csrfToken, clock, store }) {
    super();
    Object.assign(this, { url, csrfToken, clock, store, problem: "" });
    this.entries = store.load(); // {answer, label, words, href, refused?}
    addEventListener("online", () => this.send());
    // A phone that slept has to measure its clock again.
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.send());
  }

  get waiting() {
    return this.entries.filter((entry) => !entry.refused);
  }

  get refused() {
    return this.entries.filter((entry) => entry.refused);
  }

  add(answer, { label, words }) {
    // A new answer at a point takes the place of one that was refused there.
    this.entries = this.entries.filter((entry) => !(entry.refused && entry.answer.test_point === answer.test_point));
    this.entries.push({ answer, label, words, href: location.pathname });
    this.changed();
    return this.send();
  }

  discard(entry) {
    this.entries = this.entries.filter((other) => other !== entry);
    this.changed();
    this.dispatchEvent(new CustomEvent("discard", { detail: { entry } }));
  }

  /** Send what waits, or nothing but a greeting by which the clock is measured; resolves when done or it failed. */
  send() {
    this.sending ??= this.sendAll().finally(() => {
      this.sending = null;
    });
    return this.sending;
  }

  async sendAll() {
    clearTimeout(this.retry);
    while (this.waiting.length || this.clock.offsetMs === null) {
      const batch = this.waiting.slice(0, 200);
      try {
        this.settle(batch, await this.post(batch.map((entry) => entry.answer)));
        this.problem = "";
      } catch (error) {
        this.problem = error.message;
        if (this.waiting.length) this.retry = setTimeout(() => this.send(), RETRY_AFTER_MS);
        this.changed();
        return;
      }
      if (!batch.length) break;
    }
    this.changed();
  }

  async post(answers) {
    const sentMs = Date.now();
    let response;
    try {
      response = await fetch(this.url, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-CSRFToken": this.csrfToken },
        body: JSON.stringify({ answers, sent_at: new Date(sentMs).toISOString() }),
        keepalive: true,
      });
    } catch {
      throw new Error("No connection.");
    }
    const isJson = response.headers.get("Content-Type")?.startsWith("application/json");
    if (response.redirected || response.status === 403) throw new Error("You are logged out: log in again in another tab.");
    if (!response.ok || !isJson) throw new Error(`The register answered ${response.status}.`);
    const body = await response.json();
    this.clock.measure(sentMs, Date.now(), body.received_at);
    return body;
  }

  settle(batch, { verdicts, progress }) {
    batch.forEach((entry, i) => {
      const verdict = verdicts[i];
      if (verdict.fate === "refused") entry.refused = verdict.message;
      else this.entries = this.entries.filter((other) => other !== entry);
      this.dispatchEvent(new CustomEvent("verdict", { detail: { verdict, entry, progress } }));
    });
    this.changed();
  }

  changed() {
    this.store.save(this.entries);
    this.dispatchEvent(new Event("change"));
  }
}
