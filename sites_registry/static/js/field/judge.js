// Judges a reading against the limits of its test point, as the server does when the answer arrives.

import { askedInWords, levelOf, limitsInWords, limitsOf, looksLike, waitsForPlate } from "./rule.js";

const PLAIN_NUMBER = /^-?[0-9]{1,9}([.,][0-9]{1,3})?$/;

// As the server reads them: a comma before three digits may part thousands or decimals.
const EITHER = /^-?[1-9][0-9]{0,2},[0-9]{3}$/;

/** Why a typed text is no number that can be kept, in a sentence. */
export function notANumber(text) {
  const trimmed = text.replace("−", "-").trim();
  if (!EITHER.test(trimmed)) return `“${text}” is not a number. Write plain digits, such as 27.3.`;
  const [decimals, whole] = [Number(trimmed.replace(",", ".")), trimmed.replace(",", "")];
  return `${trimmed} can be read as ${decimals} or as ${whole}. Write ${decimals} or ${whole}.`;
}

/** The number that was typed, null for nothing, NaN for what is no plain number. */
export function readingOf(text) {
  const trimmed = text.replace("−", "-").trim();
  if (!trimmed) return null;
  return PLAIN_NUMBER.test(trimmed) && !EITHER.test(trimmed) ? Number(trimmed.replace(",", ".")) : NaN;
}

/** The figures known of a point: those of its record, then those typed from a data plate. */
function figuresOf(point, typed = {}) {
  const numbers = Object.entries(typed).map(([name, text]) => [name, readingOf(String(text))]);
  return { ...Object.fromEntries(numbers.filter(([, number]) => number > 0)), ...point.rule.figures };
}

/** Difference from the last visit's reading in whole percent, or null: none from nothing, nor from the other sign. */
function differencePercent(point, reading) {
  const before = point.before === null ? 0 : Number(point.before);
  return before && reading * before >= 0 ? Math.round(((reading - before) / Math.abs(before)) * 100) : null;
}

/** What to say of a typed reading: {tone, glyph, text} or null when nothing was typed; `typed`: figures of a plate. */
export function judge(point, text, typed = {}) {
  const reading = readingOf(text);
  if (reading === null) return null;
  if (Number.isNaN(reading))
    return { tone: "alarm", glyph: "■", text: notANumber(text) };
  const difference = differencePercent(point, reading);
  const change = difference === null ? "" : `${difference > 0 ? "+" : ""}${difference < 0 ? "−" : ""}${Math.abs(difference)} % against last time`;
  const figures = figuresOf(point, typed);
  const level = levelOf(point.rule, figures, reading);
  const seen = looksLike(point.rule, figures, reading);
  if (level === "asked")
    return { tone: "attention", glyph: "▲", text: `Not judged: enter ${askedInWords(point.rule, figures)}.` };
  if (level === "outside") {
    const limits = limitsInWords(limitsOf(point.rule, figures), point.unit);
    return { tone: "alarm", glyph: "■", text: [`Outside the limits (${limits}).`, seen, change].filter(Boolean).join(" ") };
  }
  const within = level === "no limit" || limitsAreNone(point, figures) ? "" : "Within the limits";
  const words = [within, change].filter(Boolean).join(", ");
  if (level === "attention") return { tone: "attention", glyph: "▲", text: [words && `${words}. But:`, seen].filter(Boolean).join(" ") };
  // More than a fifth away from last time needs review (common practice).
  const isFar = difference !== null && Math.abs(difference) > 20;
  if (!words) return null;
  return isFar ? { tone: "attention", glyph: "▲", text: `${words}: needs review` } : { tone: "good", glyph: "●", text: words };
}

/** The limits with figures of a data plate: {words, source}. */
export function limitsWith(point, typed) {
  const limits = limitsOf(point.rule, figuresOf(point, typed));
  const words = limitsInWords(limits, point.unit);
  return words ? { words, source: limits.source } : { words: "none on record", source: "" };
}

function limitsAreNone(point, figures) {
  const { lower, upper } = limitsOf(point.rule, figures);
  return lower === null && upper === null;
}

/** Why a plain pass is refused with this reading, as the server says it; empty where it is not. */
export function passRefusal(point, reading, typed) {
  const figures = figuresOf(point, typed);
  switch (levelOf(point.rule, figures, reading)) {
    case "outside": {
      const limits = limitsOf(point.rule, figures);
      const seen = looksLike(point.rule, figures, reading);
      const from = limits.source && `They are from: ${limits.source}.`;
      return [`${reading} ${point.unit} is outside the limits (${limitsInWords(limits, point.unit)}).`, from, seen, "Choose fail, or pass with remark and say why it can stay."].filter(Boolean).join(" ");
    }
    case "asked":
      if (!waitsForPlate(point.rule, figures)) return "";
      return `Nothing on record says what ${point.quantity} is right here. Enter ${askedInWords(point.rule, figures)}, or pass with remark and say why it cannot be read.`;
  }
  return "";
}
