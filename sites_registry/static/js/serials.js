// Serials at scanner speed: Enter saves the row and moves on at once; the answer arrives when it arrives.
const form = document.querySelector("form[data-serials]");

const inputs = () => [...form.querySelectorAll("input[data-serial]")];
const stateOf = (input) => document.querySelector(input.getAttribute("hx-target"));
const say = (input, tone, glyph, word, text = "") => {
  const state = stateOf(input);
  state.replaceChildren();
  const mark = document.createElement("span");
  mark.className = `state ${tone}`;
  mark.innerHTML = `<span class="glyph" aria-hidden="true">${glyph}</span>`;
  mark.append(word);
  state.append(mark, text ? ` ${text}` : "");
};

const count = () => {
  const wrong = form.querySelectorAll("tr.faulty");
  const saved = form.querySelectorAll("[data-saved]").length;
  const left = inputs().filter((input) => !input.readOnly && !input.value.trim()).length;
  const line = form.querySelector("[data-serial-count]");
  line.replaceChildren(`${saved} saved · ${left} to go`);
  if (wrong.length) {
    const link = document.createElement("a");
    link.href = `#${wrong[0].id}`;
    link.textContent = `${wrong.length} not saved: show`;
    line.append(" · ", link);
  }
};

const settle = (input) => {
  const row = input.closest("tr");
  const isSaved = Boolean(row.querySelector("[data-saved]"));
  row.classList.toggle("faulty", Boolean(row.querySelector(".state.alarm")));
  input.readOnly = isSaved;
  input.setAttribute("aria-invalid", row.classList.contains("faulty"));
  count();
};

const next = (input) => {
  const all = inputs();
  const following = all.slice(all.indexOf(input) + 1).find((other) => !other.readOnly);
  (following || form.querySelector("button[type=submit]")).focus();
  following?.select();
};

if (form) {
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[data-serial]")) return;
    event.preventDefault(); // else the whole form would be sent
    const input = event.target;
    if (input.value.trim() && !input.readOnly) {
      say(input, "quiet", "○", "saving");
      window.htmx.trigger(input, "saverow");
    }
    next(input);
  });
  form.addEventListener("input", (event) => {
    if (!event.target.matches("input[data-serial]")) return;
    say(event.target, "quiet", "○", event.target.value.trim() ? "typed, press Enter" : "");
    event.target.closest("tr").classList.remove("faulty");
    count();
  });
  // The model chosen once holds for the rows of that kind that have none yet.
  form.addEventListener("change", (event) => {
    if (!event.target.matches("select[data-kind]")) return;
    for (const select of form.querySelectorAll(`select[data-kind="${event.target.dataset.kind}"]`))
      if (!select.value) select.value = event.target.value;
  });
  form.addEventListener("htmx:beforeSwap", (event) => {
    const { xhr, pathInfo } = event.detail;
    const isElsewhere = new URL(xhr.responseURL, location).pathname !== new URL(pathInfo.requestPath, location).pathname;
    event.detail.shouldSwap = !isElsewhere && (xhr.status === 200 || xhr.status === 422);
    event.detail.isError = !event.detail.shouldSwap;
    if (isElsewhere) say(event.detail.requestConfig.elt, "alarm", "■", "not saved", "You are logged out. Log in in another tab, then press Enter here again.");
    else if (xhr.status === 403) say(event.detail.requestConfig.elt, "alarm", "■", "not saved", "You are logged out. Load this page anew, then type it again.");
    else if (event.detail.isError) say(event.detail.requestConfig.elt, "alarm", "■", "not saved", "The register could not take it. Press Enter here again, or load the page anew.");
  });
  for (const name of ["htmx:sendError", "htmx:timeout"])
    form.addEventListener(name, (event) => say(event.detail.requestConfig.elt, "alarm", "■", "not saved", "No connection. Press Enter here again."));
  for (const name of ["htmx:afterSettle", "htmx:afterRequest"])
    form.addEventListener(name, (event) => settle(event.detail.requestConfig?.elt || event.target));
  for (const input of inputs()) settle(input);
  const first = inputs().find((input) => !input.readOnly);
  if (matchMedia("(min-width: 901px)").matches) first?.focus(); // on a phone the keyboard would hide the page
}
