// Figures typed from a data plate: taken from a form, kept on this phone for the next device of the same model.

const placeOf = (model) => `figures of model ${model}`;

/** Figures typed in a form: {name: text}. */
export function figuresIn(form) {
  const typed = [...form.querySelectorAll("[data-figure]")].map((input) => [input.dataset.figure, input.value.trim()]);
  return Object.fromEntries(typed.filter(([, text]) => text));
}

function kept(model) {
  try {
    return JSON.parse(localStorage.getItem(placeOf(model))) ?? {};
  } catch {
    return {}; // no storage: the figure is asked again
  }
}

/** With no network the next device of the model asks again: what was typed at the first one stands there already. */
export function keepFigures(point, figures) {
  const { model } = point.rule;
  if (!model || !Object.keys(figures).length) return;
  try {
    localStorage.setItem(placeOf(model), JSON.stringify({ ...kept(model), ...figures }));
  } catch {
    // no storage
  }
}

export function fillInFigures(form, point) {
  if (!point.rule.model) return;
  const figures = kept(point.rule.model);
  for (const input of form.querySelectorAll("[data-figure]")) input.value ||= figures[input.dataset.figure] ?? "";
}
