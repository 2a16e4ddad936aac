// The end of a visit: the part of the form that the chosen way of signing needs, and the signature, drawn on the glass.

import SignaturePad from "../../vendor/signature_pad-5.1.4/signature_pad.min.js";
import { read } from "./database.js";

const form = document.querySelector("form.form-page");
const field = form.elements.signature;
const signedOver = form.elements.signed_over;
const signing = document.querySelector("[data-signing]");
const canvas = signing.querySelector("canvas");
const partOf = (name) => form.elements[name]?.closest("[id^=div_id_]");
const PEN = { penColor: "black", dotSize: 0, minWidth: 1, maxWidth: 2.5, velocityFilterWeight: 0.7, compositeOperation: "source-over" };
const pad = new SignaturePad(canvas, PEN);

/** As many dots as the screen has; this clears the canvas, so what was drawn is drawn again. */
function fit() {
  const { clientWidth: width, clientHeight: height } = canvas;
  if (!width) return;
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
  const strokes = groups.map(({ points }) => points.map(({ x, y, time, pressure }) => [rounded(x), rounded(y), time - start, rounded(pressure)]));
  field.value = JSON.stringify({ width: canvas.clientWidth, height: canvas.clientHeight, strokes });
  signedOver.value = numbersShown();
  signing.querySelector("[data-outdated]").hidden = true;
  field.dispatchEvent(new Event("input", { bubbles: true })); // what is half written is kept (kept_form.js)
}

/** What whoever signs is shown: the numbers, and what of this phone is not in them yet. */
function numbersShown() {
  const places = document.querySelectorAll(".in-numbers, [data-not-counted]:not([hidden])");
  return [...places].map((place) => place.textContent.replace(/\s+/g, " ").trim()).join(" ");
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

/** Answers given here that the page does not count yet: whoever signs is told. */
async function tellNotCounted() {
  const { visit, person } = JSON.parse(document.getElementById("kept-form").textContent);
  const waiting = (await read("answers")).filter((row) => row.visit === visit && row.person === person.id && !row.entry.act);
  const line = document.querySelector("[data-not-counted]");
  if (!waiting.length) return;
  const impaired = waiting.filter((row) => row.entry.answer.defect?.severity === "impaired").length;
  const one = waiting.length === 1;
  line.textContent = `▲ ${waiting.length} answer${one ? "" : "s"} given on this phone ${one ? "is" : "are"} not in these numbers yet${impaired ? `, ${impaired} of an impaired point: hand its notice over too` : ""}.`;
  line.hidden = false;
}

partOf("signature").append(signing);
for (const radio of form.elements.how) radio.addEventListener("change", showParts);
pad.addEventListener("endStroke", keep);
signing.querySelector("[data-sign-again]").addEventListener("click", clear);
addEventListener("resize", () => signing.hidden || fit());
const isToldWhatLacks = tellNotCounted();
if (field.value) isToldWhatLacks.then(() => (signedOver.value = numbersShown())); // the register asks for something else
form.addEventListener("filled", async () => {
  await isToldWhatLacks;
  dropOutdated();
  showParts(); // what was kept stands in the form again
});
showParts();
