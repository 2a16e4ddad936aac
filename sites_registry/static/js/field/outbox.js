// The one way in which answers leave this phone, from whatever page of the register is open. An answer is kept first,
// then sent; it is dropped only when the register has given its verdict. The register takes each client UUID once, so
// that sending again never does harm. One tab sends at a time, for all of them.

import { RegisterClock } from "./clock.js";
import { NotSent, answered, sendAct } from "./acts.js";
import { noLongerAsTaken, rememberGiven } from "./given.js";
import { sendPhoto } from "./photo_sender.js";
import { keepPhoto, photoSent, photosBySending, removePhoto } from "./photo_store.js";
import { everything, put, putAll, remove } from "./store.js";

const RETRY_AFTER_MS = 5000;
const MOST_AT_ONCE = 200;
const PATIENCE_MS = 30_000; // a network that never answers; what takes longer would be taken for a clock that is slow

/** The token of now: a log-in in another tab changes it, and what waits here must still be able to go. */
function csrfToken() {
  return /(?:^|; )csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? "";
}

const placeOfSent = (person) => `last sent by ${person}`;

function lastSentBy(person) {
  try {
    const at = localStorage.getItem(placeOfSent(person));
    return at && new Date(at);
  } catch {
    return null;
  }
}

const uuidOf = (row) => row.entry.answer.client_uuid;
const outboxes = new Map();

/** The outbox of a person, the same for all that runs in this page; what is kept has been read. */
export async function outboxOf(person) {
  if (!outboxes.has(person)) outboxes.set(person, new Outbox(person));
  const outbox = outboxes.get(person);
  await outbox.opened;
  return outbox;
}

/** Events: "change", and "verdict" (detail: {verdict, row, progress}) per answer, whichever tab sent it. */
class Outbox extends EventTarget {
  constructor(person) {
    super();
    Object.assign(this, { person, rows: [], others: [], photos: [], photosOfOthers: [], photosSent: [], starting: new Set(), problem: "", problemInABreath: "", greets: "", allSentAt: lastSentBy(person) });
    this.clock = new RegisterClock();
    this.channel = new BroadcastChannel("answers on this phone");
    this.channel.addEventListener("message", ({ data }) => this.hear(data));
    addEventListener("storage", ({ key, newValue }) => {
      if (key !== placeOfSent(person) || !newValue) return;
      this.allSentAt = new Date(newValue); // another tab sent
      this.changed();
    });
    addEventListener("online", () => this.send());
    // A phone that slept has to measure its clock again.
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.send());
    addEventListener("pageshow", (event) => event.persisted && this.send());
    this.opened = this.sync();
  }

  get waiting() {
    return this.rows.filter((row) => !row.entry.refused);
  }

  get photosWaiting() {
    return this.photos.filter((row) => !row.refused && !(row.draftUntil > Date.now()));
  }

  get isAnythingWaiting() {
    return this.waiting.length + this.photosWaiting.length > 0;
  }

  /** Read again what is kept: another tab may have added, sent or taken back. */
  async sync() {
    const [stored, { unsent: photos, sent }] = await Promise.all([everything(), photosBySending()]);
    const here = new Map(this.rows.map((row) => [uuidOf(row), row]));
    const own = stored.filter((row) => row.person === this.person);
    for (const row of own) if (here.has(uuidOf(row))) Object.assign(row, { isOnItsWay: here.get(uuidOf(row)).isOnItsWay });
    const isStored = new Set(own.map(uuidOf));
    this.rows = [...own, ...this.rows.filter((row) => row.isOnlyHere && !isStored.has(uuidOf(row)))];
    this.others = stored.filter((row) => row.person !== this.person);
    this.photos = photos.filter((row) => row.person === this.person);
    this.photosOfOthers = photos.filter((row) => row.person !== this.person);
    this.photosSent = sent.filter((row) => row.person === this.person);
    this.changed();
  }

  /** A photograph was kept, changed or taken away in this page. */
  async photosChanged() {
    await this.sync();
    this.tell({ changed: true });
  }

  async dropPhoto(row) {
    await removePhoto(row.uuid);
    await this.photosChanged();
  }

  /** Keep rows, in this order; sending begins and is not waited for. `isUnhurried`: it begins a little later, so that many can be taken back at once. */
  async addAll(rows, { isUnhurried = false } = {}) {
    for (const row of rows) row.isOnlyHere = true; // until it is on disk
    this.rows.push(...rows);
    this.changed();
    await this.#keep(rows);
    this.changed();
    this.tell({ changed: true });
    if (isUnhurried) this.#tryLater();
    else this.send();
  }

  /** All at once: who leaves the page in the middle has all of them on disk, or none. */
  async #keep(rows) {
    try {
      const orders = await putAll(rows.map((row) => ({ ...row, isOnlyHere: undefined })));
      orders.forEach((order, i) => Object.assign(rows[i], { order, isOnlyHere: false }));
    } catch {
      for (const row of rows) row.isOnlyHere = true; // the phone is full: the page says so and asks before it is left
    }
    for (const row of rows) row.isTried = true;
  }

  async drop(row) {
    this.rows = this.rows.filter((other) => uuidOf(other) !== uuidOf(row));
    await remove(row);
    this.changed();
    this.tell({ changed: true });
  }

  /** Take an answer back that never left this phone; false where it may have reached the register: it stands then. */
  async takeBack(uuid) {
    const row = this.rows.find((one) => uuidOf(one) === uuid);
    if (!row || row.entry.left) return false;
    if (!row.isOnlyHere && !(await remove(row, (there) => there.entry.left))) return false;
    this.rows = this.rows.filter((other) => other !== row);
    this.changed();
    this.tell({ changed: true });
    return true;
  }

  /** Send what waits, and a greeting by which the clock is measured; resolves when done or it failed. */
  send() {
    this.sending ??= this.#alone(() => this.#sendAll()).finally(() => {
      this.sending = null;
    });
    return this.sending;
  }

  #alone(act) {
    // Without a lock (no HTTPS) two tabs may send the same: the register takes it once.
    return navigator.locks ? navigator.locks.request(`sending answers of ${this.person}`, act) : act();
  }

  async #sendAll() {
    clearTimeout(this.retry);
    await this.sync();
    let problem = await this.#sendAnswers();
    // Photographs go when no answer waits; an answer that is given meanwhile goes before the next part of one.
    while (!problem && !this.waiting.length && this.photosWaiting.length) {
      try {
        await this.#sendPhotos();
      } catch (error) {
        problem = error;
        break;
      }
      problem = await this.#sendAnswers();
    }
    this.problem = problem?.message ?? "";
    this.problemInABreath = problem ? (problem.inABreath ?? "fault") : "";
    this.needsLogIn = problem?.inABreath === "log in";
    if (problem && this.isAnythingWaiting) this.#tryLater();
    this.changed();
  }

  /** Send what answers and forms wait, and a greeting where the clock was not measured; what kept one from going, or null. */
  async #sendAnswers() {
    const failed = new Set(); // addresses
    const held = new Set(); // visits of which a swap or the like did not go: what was given after it waits for it
    let problem = null;
    let hasGreeted = false;
    for (;;) {
      const first = this.waiting.find((row) => !failed.has(row.url) && !held.has(row.visit));
      const isGreeting = !first && !hasGreeted && this.greets && this.clock.offsetMs === null;
      if (!first && !isGreeting) break;
      hasGreeted ||= isGreeting;
      const url = first?.url ?? this.greets;
      const batch = first ? this.#togetherWith(first) : [];
      try {
        await this.#letGo(batch);
        const at = first?.entry.act
          ? await this.#judgeAct(first, await sendAct(first, csrfToken()))
          : await this.#settle(batch, await this.#post(url, batch.map((row) => row.entry.answer)));
        if (batch.length) this.#noteSent(at);
      } catch (error) {
        problem ??= error;
        failed.add(url);
        if (first?.entry.act) held.add(first.visit);
        if (error.stops) break;
      }
    }
    return problem;
  }

  async #sendPhotos() {
    for (const row of this.photosWaiting) {
      const fate = await sendPhoto(row, csrfToken(), () => !this.waiting.length);
      if (!fate) return;
      if (fate.fate === "refused") await keepPhoto({ ...row, refused: fate.message });
      else await photoSent(row, fate.at);
      if (fate.fate !== "refused") this.#noteSent(fate.at);
      await this.photosChanged();
    }
  }

  /** When by the register's clock: that of the phone may be hours out. */
  #noteSent(at) {
    this.allSentAt = new Date(at);
    try {
      localStorage.setItem(placeOfSent(this.person), this.allSentAt.toISOString());
    } catch {
      // No room: the next page does not say when.
    }
  }

  #tryLater() {
    clearTimeout(this.retry);
    this.retry = setTimeout(() => this.send(), RETRY_AFTER_MS);
  }

  /** An act goes alone; answers given before and after it go out before and after it. */
  #togetherWith(first) {
    if (first.entry.act) return [first];
    const ofVisit = this.waiting.filter((row) => row.visit === first.visit);
    const until = ofVisit.findIndex((row) => row.entry.act);
    return ofVisit.slice(0, until < 0 ? MOST_AT_ONCE : Math.min(until, MOST_AT_ONCE));
  }

  async #judgeAct(row, verdict) {
    await this.#judged({ verdict, row, progress: null });
    this.tell({ verdict, uuid: uuidOf(row), progress: null });
    return verdict.at;
  }

  /** What is handed to a network may arrive though no word of it comes back; without one nothing has left. */
  async #letGo(batch) {
    if (!navigator.onLine) return;
    for (const row of batch.filter((one) => !one.entry.left)) {
      row.entry.left = true;
      await this.#keep([row]);
    }
  }

  async #post(url, answers) {
    const sentMs = Date.now();
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
    let response;
    try {
      response = await fetch(url, {
        method: "POST",
        signal: patience.signal,
        headers: { "Content-Type": "application/json", "X-CSRFToken": csrfToken() },
        body: JSON.stringify({ answers, person: this.person, sent_at: new Date(sentMs).toISOString() }),
        keepalive: answers.length < 20, // a browser lets only little go on after its page
      });
    } catch {
      throw new NotSent("No connection.", "no network", true);
    } finally {
      clearTimeout(timer);
    }
    const isJson = response.headers.get("Content-Type")?.startsWith("application/json");
    if (response.redirected || response.status === 403) throw new NotSent("You are logged out, or somebody else is logged in.", "log in", true);
    if (response.status === 409 && isJson) throw new NotSent((await response.json()).message, "log in", true);
    if (!response.ok || !isJson) throw answered(response);
    const body = await response.json();
    this.clock.measure(sentMs, Date.now(), body.received_at);
    return body;
  }

  async #settle(batch, { verdicts, progress, received_at }) {
    for (const [i, row] of batch.entries()) {
      const verdict = verdicts[i];
      await this.#judged({ verdict, row, progress, at: received_at });
      this.tell({ verdict, uuid: uuidOf(row), progress });
    }
    return received_at;
  }

  async #judged({ verdict, row, progress, at }) {
    if (verdict.fate === "refused") {
      for (const one of [row, ...this.rows]) if (uuidOf(one) === uuidOf(row)) one.entry.refused = verdict.message;
      await this.#keep([row]);
    } else {
      this.rows = this.rows.filter((other) => uuidOf(other) !== uuidOf(row));
      await (row.entry.act ? noLongerAsTaken(row) : rememberGiven(row, at));
      await remove(row);
    }
    this.dispatchEvent(new CustomEvent("verdict", { detail: { verdict, row, progress } }));
    this.changed();
  }

  /** What another tab did. */
  async hear({ verdict, uuid, progress }) {
    const row = verdict && this.rows.find((one) => uuidOf(one) === uuid);
    if (row && verdict.fate === "refused") row.entry.refused = verdict.message;
    await this.sync();
    if (this.isAnythingWaiting) this.#tryLater(); // the tab in which it was given may be closed before it sent
    if (row) this.dispatchEvent(new CustomEvent("verdict", { detail: { verdict, row, progress } }));
  }

  tell(message) {
    this.channel.postMessage(message);
  }

  changed() {
    this.dispatchEvent(new Event("change"));
  }
}
