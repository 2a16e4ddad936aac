// The end of a visit: the part of the form that the chosen way of signing needs, and the signature, drawn on the glass.
// Nobody is asked to sign for what the register would refuse, without a network either.

import SignaturePad from "../../vendor/signature_pad-5.1.4/signature_pad.min.js";
import { followStanding, lacks, leastReachPx } from "./standing.js";

const form = document.querySelector("form.form-page");
const field = form.elements.signature;
const signedOver = form.elements.signed_over;
const signing = document.querySelector("[data-signing]");
const canvas = signing.querySelector("canvas");
const partOf = (name) => form.elements[name]?.closest("[id^=div_id_]");
const PEN = { penColor: "black", dotSize: 0, minWidth: 1, maxWidth: 2.5, velocityFilterWeight: 0.7, compositeOperation: "source-over" };
const LONGEST_MS = 3_600_000;
const pad = new SignaturePad(canvas, PEN);
pad.off(); // until the numbers that are signed for stand there
let isSigning = false; // with a finger on the glass

/** As many dots as the screen has; this clears the canvas, so what was drawn is drawn again. */
function fit() {
  const { clientWidth: width, clientHeight: height } = canvas;
  if (!width || isSigning) return; // what is drawn anew would lack the stroke that is under way
  const dots = window.devicePixelRatio || 1;
  if (canvas.width !== Math.round(width * dots) || canvas.height !== Math.round(height * dots)) {
    Object.assign(canvas, { width: Math.round(width * dots), height: Math.round(height * dots) });
    canvas.getContext("2d").scale(dots, dots);
  }
  drawKept(width, height);
}

function drawKept(width, height) {
  const kept = field.value ? JSON.parse(field.value) : null;
  pad.clear();
  if (!kept) return;
  const scale = Math.min(width / kept.width, height / kept.height);
  const point = ([x, y, time, pressure]) => ({ x: x * scale, y: y * scale, time, pressure });
  pad.fromData(kept.strokes.map((stroke) => ({ ...PEN, points: stroke.map(point) })));
}

function keep() {
  const groups = pad.toData();
  const start = Math.min(...groups.flatMap((group) => group.points.map((point) => point.time)));
  const rounded = (number) => Math.round(number * 100) / 100;
  // A finger that goes on far beyond the field still signs in it.
  const within = (number, side) => rounded(Math.min(2 * side, Math.max(-side, number)));
  const { clientWidth: width, clientHeight: height } = canvas;
  const strokes = groups.map(({ points }) => points.map(({ x, y, time, pressure }) => [within(x, width), within(y, height), Math.min(time - start, LONGEST_MS), rounded(pressure)]));
  field.value = JSON.stringify({ width, height, strokes });
  signedOver.value = numbersShown();
  signing.querySelector("[data-outdated]").hidden = true;
  field.dispatchEvent(new Event("input", { bubbles: true })); // what is half written is kept (kept_form.js)
}

/** What whoever signs is shown. */
function numbersShown() {
  return document.querySelector("[data-numbers]").textContent.replace(/\s+/g, " ").trim();
}

/** A signature that was kept is for the numbers of then: over others it says nothing, and is asked for again. */
function dropOutdated() {
  if (!field.value || signedOver.value === numbersShown()) return;
  clear();
  signing.querySelector("[data-outdated]").hidden = false;
}

function clear() {
  pad.clear();
  field.value = signedOver.value = "";
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function showParts() {
  const how = form.elements.how.value;
  partOf("why_nobody").hidden = how !== "nobody";
  partOf("witness").hidden = how === "nobody";
  partOf("signature").hidden = signing.hidden = how !== "glass";
  if (how === "glass") fit();
}

const typed = (name) => form.elements[name].value.trim();

function isTooSmall() {
  const points = JSON.parse(field.value).strokes.flat();
  const reach = (axis) => Math.max(...points.map((point) => point[axis])) - Math.min(...points.map((point) => point[axis]));
  return Math.max(reach(0), reach(1)) < leastReachPx;
}

/** [field, sentence] of all that the register would refuse in this form. */
function whatLacks() {
  const how = form.elements.how.value;
  const isSigned = how === "glass" || how === "paper";
  const lacking = {
    is_restored: !form.elements.is_restored.checked,
    notice_given: standing.impaired && !typed("notice_given"),
    how: !how,
    witness: isSigned && !typed("witness"),
    why_nobody: how === "nobody" && !typed("why_nobody"),
    signature: how === "glass" && !field.value,
  };
  const found = Object.keys(lacking).filter((name) => lacking[name]).map((name) => [name, lacks[name]]);
  return how === "glass" && field.value && isTooSmall() ? [...found, ["signature", lacks.too_small]] : found;
}

function partNamed(name) {
  return name === "how" ? form.querySelector("[name=how]").closest("fieldset") : partOf(name);
}

function sayWhatLacks(found) {
  for (const line of form.querySelectorAll(".invalid-feedback")) line.remove();
  for (const [name, sentence] of found) {
    const line = document.createElement("div");
    line.className = "invalid-feedback";
    line.setAttribute("role", "alert");
    line.append(Object.assign(document.createElement("p"), { textContent: sentence }));
    partNamed(name).append(line);
  }
  if (!found.length) return;
  const first = partNamed(found[0][0]);
  first.scrollIntoView({ block: "center" });
  first.querySelector("input:not([hidden]), textarea:not([hidden])")?.focus({ preventScroll: true });
}

function takeStanding(now) {
  standing = now;
  form.hidden = !now.isAsked;
  partOf("notice_given").hidden = !now.impaired;
  if (isReady) dropOutdated();
  if (now.isAsked) showParts();
}

// Before what keeps and sends the form (kept_form.js), which is loaded after this.
form.addEventListener("submit", (event) => {
  const found = whatLacks();
  if (standing.isAsked && !found.length) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  sayWhatLacks(found);
});

// A sentence goes once what it asks for is there.
form.addEventListener("input", ({ target }) => {
  const part = partNamed(target.name);
  if (!part || whatLacks().some(([name]) => partNamed(name) === part)) return;
  for (const line of part.querySelectorAll(".invalid-feedback")) line.remove();
});

partOf("signature").append(signing);
for (const radio of form.elements.how) radio.addEventListener("change", showParts);
pad.addEventListener("beginStroke", () => (isSigning = true));
pad.addEventListener("endStroke", () => {
  isSigning = false;
  keep();
});
signing.querySelector("[data-sign-again]").addEventListener("click", clear);
addEventListener("resize", () => signing.hidden || fit());
let standing = { isAsked: !form.hidden, impaired: 0 };
let isReady = false; // the numbers are those of now
const isFollowed = followStanding(takeStanding).then(() => {
  if (field.value) signedOver.value ||= numbersShown(); // the register asks for something else
  isReady = true;
  dropOutdated();
}).finally(() => pad.on());
form.addEventListener("filled", async () => {
  await isFollowed;
  dropOutdated();
  showParts(); // what was kept stands in the form again
});
showParts();
