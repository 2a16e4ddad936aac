// A ready-made wiring pattern fills the text as soon as it is chosen; what somebody typed is never overwritten unasked.
const choice = document.querySelector("[data-pattern-start]");
const text = document.querySelector("textarea[name=wiring_pattern]");
const starts = [...document.querySelectorAll("template[data-start]")];
const kind = document.querySelector("select[name=kind]");
const bodyOf = (start) => start.content.textContent;
const tidy = (value) => value.trim().replace(/\s+/g, " ");
const first = tidy(text.value);

// Only those of the kind chosen.
const limit = () => {
  if (!kind) return;
  for (const option of choice.options) {
    const start = starts.find((one) => one.dataset.start === option.value);
    option.hidden = option.disabled = Boolean(start && kind.value && start.dataset.kind !== kind.value);
  }
  if (choice.selectedOptions[0]?.disabled) choice.value = "";
};

choice?.addEventListener("change", () => {
  const start = starts.find((one) => one.dataset.start === choice.value);
  const typed = tidy(text.value);
  const isOwn = typed && typed !== first && !starts.some((one) => tidy(bodyOf(one)) === typed);
  if (start && (!isOwn || window.confirm("Replace the pattern that is typed?"))) text.value = bodyOf(start);
});
kind?.addEventListener("change", limit);
if (choice) limit();
