// Judges a reading against the limits of its test point, as the server does when the answer arrives.

const PLAIN_NUMBER = /^-?[0-9]{1,9}([.,][0-9]{1,3})?$/;

/** The number that was typed, null for nothing, NaN for what is no plain number. */
export function readingOf(text) {
  const trimmed = text.replace("−", "-").trim();
  if (!trimmed) return null;
  return PLAIN_NUMBER.test(trimmed) ? Number(trimmed.replace(",", ".")) : NaN;
}

/** true inside, false outside, null where there are no limits. */
export function isWithinLimits(point, reading) {
  if (point.lower === null && point.upper === null) return null;
  return (point.lower === null || reading >= Number(point.lower)) && (point.upper === null || reading <= Number(point.upper));
}

/** Difference from the last visit's reading in whole percent, or null. */
export function differencePercent(point, reading) {
  const before = point.before === null ? 0 : Number(point.before);
  return before ? Math.round(((reading - before) / Math.abs(before)) * 100) : null;
}

/** What to say of a typed reading: {tone, glyph, text} or null when nothing was typed. */
export function judge(point, text) {
  const reading = readingOf(text);
  if (reading === null) return null;
  if (Number.isNaN(reading))
    return { tone: "alarm", glyph: "■", text: `“${text}” is not a number. Write plain digits, such as 27.3.` };
  const difference = differencePercent(point, reading);
  const change = difference === null ? "" : `${difference > 0 ? "+" : ""}${difference} % against last time`;
  const within = isWithinLimits(point, reading);
  if (within === false)
    return { tone: "alarm", glyph: "■", text: `Outside the limits (${point.limits}). ${change}`.trim() };
  // More than a fifth away from last time is worth a look (common practice).
  const isFar = difference !== null && Math.abs(difference) > 20;
  const words = [within ? "Within the limits" : "", change].filter(Boolean).join(", ");
  if (!words) return null;
  return isFar ? { tone: "attention", glyph: "▲", text: `${words}: look into it` } : { tone: "good", glyph: "●", text: words };
}
