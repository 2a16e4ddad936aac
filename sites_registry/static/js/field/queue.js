// The one way in which answers leave the page. An answer is stored first, then sent; it is dropped only when the
// server has given its verdict. The server takes each client UUID once, so that sending again never does harm.

const RETRY_AFTER_MS = 5000;

/** The token of now: a log-in in another tab changes it, and what waits here must still be able to go. */
function csrfToken() {
  return /(?:^|; )csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? "";
}

/** Why an answer could not go: a sentence, and the same in a breath. */
class NotSent extends Error {
  constructor(sentence, inABreath) {
    super(sentence);
    this.inABreath = inABreath;
  }
}

/**
 * Events: "change" when the number waiting changes, "verdict" (detail: {verdict, entry, progress}) per answer,
 * "discard" (detail: {entry}).
 */
export class AnswerQueue extends EventTarget {
  constructor({ url, person, clock, store }) {
    super();
    Object.assign(this, { url, person, clock, store, problem: "", problemInABreath: "" });
    this.entries = store.load(); // {answer, label, words, href, refused?, left?}
    addEventListener("online", () => this.send());
    addEventListener("storage", () => this.changed());
    // A phone that slept has to measure its clock again.
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.send());
  }

  get waiting() {
    return this.entries.filter((entry) => !entry.refused);
  }

  get refused() {
    return this.entries.filter((entry) => entry.refused);
  }

  /** What waits on this phone for this visit from another tab, which sends it. */
  get elsewhere() {
    const here = new Set(this.entries.map((entry) => entry.answer.client_uuid));
    return this.store.load().filter((entry) => !here.has(entry.answer.client_uuid));
  }

  add(answer, { label, words }) {
    // A new answer at a point takes the place of one that was refused there.
    for (const entry of this.refused) if (entry.answer.test_point === answer.test_point) this.drop(entry);
    const entry = { answer, label, words, href: location.pathname };
    this.entries.push(entry);
    this.store.put(entry);
    this.changed();
    return this.send();
  }

  drop(entry) {
    this.entries = this.entries.filter((other) => other !== entry);
    this.store.remove(entry);
  }

  discard(entry) {
    this.drop(entry);
    this.changed();
    this.dispatchEvent(new CustomEvent("discard", { detail: { entry } }));
  }

  /** Take an answer back that never left this phone; false where it may have reached the register: it stands then. */
  takeBack(entry) {
    const kept = this.store.kept(entry); // another tab may have sent it meanwhile
    if (!this.entries.includes(entry) || !kept || entry.left || kept.left) return false;
    this.drop(entry);
    this.changed();
    return true;
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
      this.letGo(batch);
      try {
        this.settle(batch, await this.post(batch.map((entry) => entry.answer)));
        this.problem = "";
      } catch (error) {
        this.problem = error.message;
        this.problemInABreath = error.inABreath ?? "fault";
        if (this.waiting.length) this.retry = setTimeout(() => this.send(), RETRY_AFTER_MS);
        this.changed();
        return;
      }
      if (!batch.length && !this.waiting.length) break; // an answer may have come while the register was greeted
    }
    this.changed();
  }

  /** What is handed to a network may arrive though no word of it comes back; without one nothing has left. */
  letGo(batch) {
    for (const entry of batch.filter((one) => !one.left)) {
      entry.left = navigator.onLine;
      if (entry.left) this.store.put(entry);
    }
  }

  async post(answers) {
    const sentMs = Date.now();
    let response;
    try {
      response = await fetch(this.url, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-CSRFToken": csrfToken() },
        body: JSON.stringify({ answers, person: this.person, sent_at: new Date(sentMs).toISOString() }),
        keepalive: true,
      });
    } catch {
      throw new NotSent("No connection.", "no network");
    }
    const isJson = response.headers.get("Content-Type")?.startsWith("application/json");
    if (response.redirected || response.status === 403) throw new NotSent("You are logged out, or somebody else is logged in: log in again in another tab.", "log in");
    if (response.status === 409 && isJson) throw new NotSent((await response.json()).message, "log in");
    if (!response.ok || !isJson) throw new NotSent(`The register answered ${response.status}.`, `answer ${response.status}`);
    const body = await response.json();
    this.clock.measure(sentMs, Date.now(), body.received_at);
    return body;
  }

  settle(batch, { verdicts, progress }) {
    batch.forEach((entry, i) => {
      const verdict = verdicts[i];
      if (verdict.fate !== "refused") this.drop(entry);
      else {
        entry.refused = verdict.message;
        this.store.put(entry);
      }
      this.dispatchEvent(new CustomEvent("verdict", { detail: { verdict, entry, progress } }));
    });
    this.changed();
  }

  changed() {
    this.dispatchEvent(new Event("change"));
  }
}
