// Photographs on the pages of a visit: taken, made smaller, kept on this phone, shown where they belong.

import { newUuid } from "./answer.js";
import { PhotoDialog } from "./photo_dialog.js";
import { digestOf, smaller } from "./photo_picture.js";
import { allPhotos, keepPhoto } from "./photo_store.js";

const DRAFT_MS = 60 * 60 * 1000;
const PLACE_MS = 5000;
const NO_PLACE = { latitude: undefined, longitude: undefined };
const NO_ROOM =
  "This phone has no room for the photograph. Your answers are kept and not affected. Wait until what is kept here is sent, or let a visit go on your home page, then touch “Keep it” again.";
const NOT_READ = "This phone cannot read that picture. Take it again, or choose a JPEG.";

function sentenceOf(error) {
  return error.name === "QuotaExceededError" ? NO_ROOM : `The photograph could not be kept: ${error.message} Touch “Keep it” again.`;
}

/** {latitude, longitude} with five decimals (a metre), undefined where the phone does not say. */
function placeNow() {
  return new Promise((resolve) => {
    if (!navigator.geolocation) return resolve(NO_PLACE);
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => resolve({ latitude: coords.latitude.toFixed(5), longitude: coords.longitude.toFixed(5) }),
      () => resolve(NO_PLACE),
      { timeout: PLACE_MS, maximumAge: 60_000 },
    );
  });
}

/** "test_point 7" → {test_point: 7}; "visit" → {}. */
function toldOf(of) {
  const [thing, id] = of.split(" ");
  return id ? { [thing]: Number(id) } : {};
}

class Photographs {
  constructor({ data, queue, dialog, input }) {
    Object.assign(this, { data, queue, outbox: queue.outbox, input, asked: null, addresses: new Map() });
    this.dialog = new PhotoDialog(dialog, `place of photographs by ${data.person.id}`);
    for (const button of document.querySelectorAll("[data-photograph]")) {
      button.hidden = false;
      button.addEventListener("click", () => this.#begin(button.dataset));
    }
    input.addEventListener("change", () => this.#taken());
    document.addEventListener("click", (event) => this.#open(event));
    this.outbox.addEventListener("change", () => this.#show());
    this.#show();
  }

  #begin(asked, again = null) {
    this.asked = { ...asked, again };
    this.input.value = "";
    this.input.click();
  }

  async #taken() {
    const [file] = this.input.files;
    if (!file) return;
    const { photograph: of, label, stage = "", again } = this.asked;
    let blob;
    try {
      blob = await smaller(file);
    } catch {
      return alert(NOT_READ);
    }
    const uuid = again?.uuid ?? newUuid();
    const row = {
      uuid,
      person: this.data.person.id,
      name: this.data.person.name,
      visit: this.data.visit,
      at: this.data.visit_name,
      href: this.data.visit_url,
      url: this.data.photos_url,
      page: location.pathname,
      of,
      label,
      blob,
      draftUntil: Date.now() + DRAFT_MS,
      told: {
        ...toldOf(of),
        client_uuid: uuid,
        size_bytes: blob.size,
        sha256: await digestOf(blob),
        stage,
        caption: again?.told.caption ?? "",
        marks: [],
        taken_at: new Date().toISOString(),
        clock_offset_ms: this.queue.clock.offsetMs,
      },
    };
    const placeOfNow = this.dialog.place.checked ? placeNow() : null;
    const problem = await this.#keep(row); // before anything is written: a phone may close the page
    return this.#finish(row, problem, () => placeOfNow ?? placeNow());
  }

  /** Keep it; the sentence why it could not be, "" where it is. */
  async #keep(row) {
    try {
      await keepPhoto(row);
      await this.queue.startFirst();
      await this.outbox.photosChanged();
      return "";
    } catch (error) {
      return sentenceOf(error);
    }
  }

  /** `placeOf`: where it was taken, asked only where this person lets it be kept. */
  async #finish(row, problem, placeOf) {
    for (let says = problem; ; ) {
      const asking = this.dialog.ask(row, row.of !== "visit");
      this.dialog.say(says);
      const { act, caption, stage, marks, mayKeepPlace } = await asking;
      if (act === "again") {
        this.dialog.close();
        return this.#begin({ photograph: row.of, label: row.label, stage }, row);
      }
      if (act === "discard") {
        await this.outbox.dropPhoto(row);
        return this.dialog.close();
      }
      if (mayKeepPlace) this.dialog.say("Asking the phone where it is …");
      const place = mayKeepPlace ? await placeOf() : NO_PLACE;
      Object.assign(row, { draftUntil: act === "keep" ? 0 : Date.now() + DRAFT_MS, told: { ...row.told, caption, stage, marks, ...place } });
      says = await this.#keep(row);
      if (!says) break;
    }
    this.dialog.close();
    this.outbox.send();
  }

  /** One that is still on this phone opens again under a touch; it waits until that is done. */
  async #open(event) {
    const uuid = event.target.closest("[data-photo]")?.dataset.photo;
    const kept = uuid && this.outbox.photos.find((one) => one.uuid === uuid);
    if (!kept) return;
    event.preventDefault();
    const row = { ...kept, refused: undefined, draftUntil: Date.now() + DRAFT_MS };
    const { latitude, longitude } = row.told; // where somebody looks at it again tells nothing of it
    this.#finish(row, await this.#keep(row), () => ({ latitude, longitude }));
  }

  #addressOf(row) {
    const { sha256 } = row.told; // taken again, it is another picture
    if (!this.addresses.has(sha256)) this.addresses.set(sha256, URL.createObjectURL(row.blob));
    return this.addresses.get(sha256);
  }

  #show() {
    const { kept } = document.body.dataset;
    const sent = kept ? this.outbox.photosSent.filter((row) => Date.parse(row.sentAt) >= Date.parse(kept)) : [];
    const photos = [...sent, ...this.outbox.photos].filter((row) => row.visit === this.data.visit);
    for (const strip of document.querySelectorAll("[data-photos-of]")) {
      const here = photos.filter((row) => row.of === strip.dataset.photosOf);
      for (const item of strip.querySelectorAll("[data-photo]")) item.closest("li").remove();
      strip.append(...here.map((row) => this.#item(row)));
      strip.hidden = !strip.children.length;
    }
  }

  #item(row) {
    if (row.sentAt) return this.#sentItem(row);
    const words = row.refused ? `■ not taken: ${row.refused}` : row.draftUntil > Date.now() ? "▲ not finished" : "▲ kept on this phone";
    const picture = this.#picture(row);
    const button = Object.assign(document.createElement("button"), { type: "button" });
    button.dataset.photo = row.uuid;
    button.append(picture, Object.assign(document.createElement("span"), { textContent: words }));
    const item = document.createElement("li");
    item.append(button);
    return item;
  }

  #picture(row) {
    return Object.assign(document.createElement("img"), { src: this.#addressOf(row), alt: row.told.caption || row.label });
  }

  /** In the register, and shown from this phone's own copy: nothing of it is changed any more. */
  #sentItem(row) {
    const holder = document.createElement("div");
    holder.dataset.photo = row.uuid;
    holder.append(this.#picture(row), Object.assign(document.createElement("span"), { textContent: "● sent" }));
    const item = document.createElement("li");
    item.append(holder);
    return item;
  }
}

/** Offer photographs on this page, where it has the dialog and the browser can make digests (https). */
export function takePhotographs(data, queue) {
  const dialog = document.querySelector("[data-photo-dialog]");
  if (!dialog || !window.isSecureContext) return;
  new Photographs({ data, queue, dialog, input: document.querySelector("[data-photo-input]") });
}
