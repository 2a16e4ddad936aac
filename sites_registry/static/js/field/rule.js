// The rule of a reading, judged as the server does (zones/engineering/readings/rule.py): same operations, same numbers.

function valueOf(term, figures) {
  if ([...term.times, ...term.over].some((name) => !figures[name])) return null;
  if (!term.times.length) return term.plus;
  let product = term.factor;
  for (const name of term.times) product *= figures[name];
  for (const name of term.over) product /= figures[name];
  return term.plus + product;
}

function strictest(terms, figures, digits, isStricter) {
  let found = null;
  for (const term of terms) {
    const value = valueOf(term, figures);
    if (value !== null && (found === null || isStricter(value, found.value))) found = { value, source: term.source };
  }
  const scale = 10 ** digits;
  return found && { ...found, value: Math.floor(found.value * scale + 0.5) / scale };
}

/** The range that holds: {lower, upper, source}; an end that is not known is null. */
export function limitsOf(rule, figures) {
  const lower = strictest(rule.lower, figures, rule.digits, (one, other) => one > other);
  const upper = strictest(rule.upper, figures, rule.digits, (one, other) => one < other);
  const isOne = !lower || !upper || lower.source === upper.source;
  const source = isOne ? ((lower ?? upper)?.source ?? "") : `at least: ${lower.source}; at most: ${upper.source}`;
  return { lower: lower?.value ?? null, upper: upper?.value ?? null, source };
}

/** What the reading looks like, in sentences. */
export function looksLike(rule, figures, reading) {
  const fits = ({ low, high }) => {
    const [from, to] = [low, high].map((end) => end && valueOf(end, figures));
    if ((low && from === null) || (high && to === null)) return false;
    return (!low || reading >= from) && (!high || reading < to);
  };
  return rule.signs.filter(fits).map((sign) => sign.words).join(" ");
}

/** Figures that are not known yet. */
function stillAsked(rule, figures) {
  return rule.asks.filter((one) => !figures[one.name] || figures[one.name] < (one.at_least ?? 0));
}

/** Whether a plain pass waits for a figure of a data plate; what belongs to the reading itself holds no pass up. */
export function waitsForPlate(rule, figures) {
  return stillAsked(rule, figures).some((one) => one.is_needed && !one.of_reading);
}

export function askedInWords(rule, figures) {
  const asked = stillAsked(rule, figures);
  const named = asked.map((one) => `${one.label} (${one.unit})`);
  const plate = asked.every((one) => one.of_reading) ? "" : " from its data plate";
  return named.length ? `the ${named.join(" and the ")} of ${rule.whose}${plate}` : "";
}

/** How a reading stands: "outside", "attention", "within", "no limit" or "asked". */
export function levelOf(rule, figures, reading) {
  const { lower, upper } = limitsOf(rule, figures);
  if ((lower !== null && reading < lower) || (upper !== null && reading > upper)) return "outside";
  if (stillAsked(rule, figures).some((one) => one.is_needed)) return "asked";
  if (looksLike(rule, figures, reading)) return "attention";
  return lower === null && upper === null ? "no limit" : "within";
}

function figure(value, unit) {
  if (unit !== "kΩ") return String(value);
  return value >= 1 ? value.toFixed(2) : value.toFixed(3);
}

/** "27 to 27.6 V", "60 s or less", "exactly 2"; empty when there are none. */
export function limitsInWords({ lower, upper }, unit) {
  const [low, high] = [lower, upper].map((end) => end === null ? null : figure(end, unit));
  if (low === null && high === null) return "";
  if (low === high) return `exactly ${low} ${unit}`.trim();
  if (high === null) return `${low} ${unit} or more`.replace("  ", " ");
  if (low === null) return `${high} ${unit} or less`.replace("  ", " ");
  return `${low} to ${high} ${unit}`.trim();
}
