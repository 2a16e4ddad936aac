// Find a position of this visit by its label, without the register: what is typed narrows the list, what names one leads there.

import { Camera } from "./camera.js";
import { stateElement } from "./card.js";
import { placesLike, placesNamed, positionIn } from "./labels.js";
import { outboxOf } from "./outbox.js";
import { sentAfter, standing, stateOf } from "./walk.js";

const data = JSON.parse(document.getElementById("find-data").textContent);
const { outcomes, person, visit } = JSON.parse(document.getElementById("field-data").textContent);
const hosts = [location.host, new URL(data.register).host];
const form = document.querySelector("[data-find]");
const input = form.elements.q;
const words = document.querySelector("[data-find-words]");
const list = document.querySelector("[data-found]");

const outbox = await outboxOf(person.id);
const sentSince = await sentAfter(document.body.dataset.kept, person.id, visit);
let shown = [];

/** What was answered at a place on this phone and is not on this page. */
function givenAt(place) {
  const waiting = outbox.waiting.filter((row) => row.visit === visit && !row.entry.act).map((row) => row.entry);
  return [...sentSince, ...waiting].filter((entry) => entry.href === place.url);
}

function element(name, className, ...content) {
  const made = document.createElement(name);
  made.className = className;
  made.append(...content);
  return made;
}

function rowOf(place) {
  const head = element("span", "stop-head", element("span", "tag", place.tag), ` ${place.kind}`);
  const state = element("span", "stop-state", stateElement(stateOf(standing(place, givenAt(place)), outcomes)));
  const link = element("a", "", head, state, element("span", "stop-place", place.where));
  if (place.serial) link.append(element("span", "serial", place.serial));
  link.href = place.url;
  return element("li", "", link);
}

function show(places) {
  shown = places;
  list.replaceChildren(...places.slice(0, data.most_shown).map(rowOf));
}

/** What is typed so far. */
function narrow() {
  const text = input.value.trim();
  const places = text ? placesLike(data.places, text) : [];
  show(places);
  const more = places.length > data.most_shown ? `, the first ${data.most_shown} of them` : "";
  words.textContent = places.length ? `${places.length} position${places.length === 1 ? "" : "s"}${more}` : "";
  return places;
}

function nothingOf(text) {
  const position = positionIn(text, hosts);
  const link = element("a", "", position === null ? "Look in the whole register" : "Open its page");
  link.href = position === null ? `${data.find_url}?${new URLSearchParams({ q: text.slice(0, 100) })}` : new URL(text).pathname;
  const says = position === null ? `“${text}” is the tag or serial of nothing on this visit.` : "The device of this label is not on this visit.";
  words.replaceChildren(`${says} `, link, ", which needs the network.");
}

/** A whole text, from the keyboard or a label: straight to the one place that it names. */
function take(text) {
  const named = placesNamed(data.places, text, hosts);
  const places = named.length ? named : placesLike(data.places, text);
  if (places.length === 1) {
    words.textContent = `${places[0].tag}, ${places[0].kind}`;
    location.assign(places[0].url);
  } else if (places.length) {
    show(places);
    words.textContent = `“${text}” stands for ${places.length} positions: choose.`;
  } else {
    show([]);
    nothingOf(text);
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (input.value.trim()) take(input.value.trim());
});
input.addEventListener("input", narrow);
outbox.addEventListener("verdict", ({ detail: { verdict, row } }) => {
  if (row.visit === visit && verdict.fate !== "refused") sentSince.push(row.entry);
});
outbox.addEventListener("change", () => shown.length && show(shown));
if (input.value.trim()) narrow(); // typed before this was ready

function offerCamera(section) {
  const picture = section.querySelector(".scan-picture");
  const start = section.querySelector("[data-scan-start]");
  const light = section.querySelector("[data-scan-light]");
  const camera = new Camera(section.querySelector("video"), section.dataset.reader);
  const away = (isAway) => Object.assign(picture, { hidden: isAway }) && Object.assign(start, { hidden: !isAway });
  start.addEventListener("click", async () => {
    away(false);
    words.textContent = "Hold the label's code before the camera.";
    try {
      const text = await camera.read();
      if (text) {
        input.value = text;
        take(text);
      }
    } catch (error) {
      words.textContent = error.message;
    }
    away(true);
  });
  section.querySelector("video").addEventListener("playing", () => Object.assign(light, { hidden: !camera.hasLight }));
  light.addEventListener("click", async () => {
    const isOn = light.getAttribute("aria-pressed") !== "true";
    await camera.light(isOn);
    light.setAttribute("aria-pressed", String(isOn));
  });
  section.querySelector("[data-scan-stop]").addEventListener("click", () => {
    camera.stop();
    words.textContent = "";
  });
  addEventListener("pagehide", () => camera.stop());
  section.hidden = false;
}

const section = document.querySelector("[data-scan]");
if (Camera.isThere) offerCamera(section);
const asked = new URLSearchParams(location.search).get("q")?.trim();
if (asked) {
  input.value = asked;
  take(asked);
}
