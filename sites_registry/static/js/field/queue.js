// The answers of one visit, as its pages see them: what of them waits or was refused; the outbox sends them.

import { startFirst } from "./kept_acts.js";
import { outboxOf } from "./outbox.js";

/**
 * Events: "change" when what waits changes, "verdict" (detail: {verdict, entry, progress}) per answer of this visit,
 * "discard" (detail: {entry}).
 */
export class AnswerQueue extends EventTarget {
  /** `told`: {visit, name, at, href, url} of this visit, kept with each answer; {starts, logIn} where it is not started. */
  static async open(person, told) {
    return new AnswerQueue(await outboxOf(person), person, told);
  }

  constructor(outbox, person, told) {
    super();
    Object.assign(this, { outbox, person, told });
    outbox.greets = told.url;
    outbox.addEventListener("change", () => this.dispatchEvent(new Event("change")));
    outbox.addEventListener("verdict", ({ detail: { verdict, row, progress } }) => {
      if (row.visit === told.visit) this.dispatchEvent(new CustomEvent("verdict", { detail: { verdict, entry: row.entry, progress } }));
    });
  }

  get clock() {
    return this.outbox.clock;
  }

  get problem() {
    return this.outbox.problem;
  }

  get problemInABreath() {
    return this.outbox.problemInABreath;
  }

  get allSentAt() {
    return this.outbox.allSentAt;
  }

  get needsLogIn() {
    return this.outbox.needsLogIn;
  }

  get rows() {
    return this.outbox.rows.filter((row) => row.visit === this.told.visit);
  }

  get entries() {
    return this.rows.map((row) => row.entry);
  }

  get waiting() {
    return this.entries.filter((entry) => !entry.refused);
  }

  get refused() {
    return this.entries.filter((entry) => entry.refused);
  }

  /** Photographs of this visit: those that wait, and those that the register did not take. */
  get photosWaiting() {
    return this.outbox.photosWaiting.filter((row) => row.visit === this.told.visit);
  }

  /** Those that their author may still write on: they wait until that is done, at most an hour. */
  get photosUnfinished() {
    return this.outbox.photos.filter((row) => row.visit === this.told.visit && row.draftUntil > Date.now());
  }

  get photosRefused() {
    return this.outbox.photos.filter((row) => row.visit === this.told.visit && row.refused);
  }

  /** Whether an answer stands in this page only: this browser keeps none, or has no room. */
  get isOnlyHere() {
    return this.rows.some((row) => row.isOnlyHere && row.isTried);
  }

  /** Whether an answer would be lost with this page: it is on its way to the disk, or found no room there. */
  get isNotOnDisk() {
    return this.rows.some((row) => row.isOnlyHere);
  }

  /** Fulfilled when it is on disk, or could not be kept; sending goes on. */
  async add(answer, { label, words, isFirst }) {
    // A new answer at a point takes the place of one that was refused there.
    for (const row of this.rows) if (row.entry.refused && row.entry.answer.test_point === answer.test_point) await this.outbox.drop(row);
    await this.addAll([{ answer, told: { label, words, isFirst, href: location.pathname } }]);
  }

  /** Many at once, [{answer, told: {label, words, isFirst, href}}]: all are kept before any is sent; `options` as of the outbox. */
  async addAll(many, options) {
    const start = this.told.starts ? await this.#start() : [];
    return this.outbox.addAll(start.concat(many.map(({ answer, told }) => ({ person: this.person, ...this.told, entry: { answer, ...told } }))), options);
  }

  /** A visit that is not started is, before anything of it goes out. */
  async startFirst() {
    const start = await this.#start();
    if (start.length) await this.outbox.addAll(start);
  }

  #start() {
    return startFirst(this.outbox, { person: this.person, ...this.told });
  }

  async discard(entry) {
    const row = this.rows.find((one) => one.entry.answer.client_uuid === entry.answer.client_uuid);
    if (row) await this.outbox.drop(row);
    this.dispatchEvent(new CustomEvent("discard", { detail: { entry } }));
  }

  takeBack(entry) {
    return this.outbox.takeBack(entry.answer.client_uuid);
  }

  send() {
    return this.outbox.send();
  }
}
