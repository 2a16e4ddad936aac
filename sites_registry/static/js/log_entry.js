// Shows the fields that belong to the kind of entry. Fields of other kinds rest: hidden, not sent, their text kept.

const form = document.querySelector("form.form-page");
const kind = form.elements.kind;
const position = form.elements.position;
const fieldsOfKind = JSON.parse(document.getElementById("fields-of-kind").textContent);
const proposed = JSON.parse(document.getElementById("proposed-position").textContent);
const dependent = new Set(Object.values(fieldsOfKind).flat());
const disablement = document.getElementById("disablement-caution");
const check = document.getElementById("check-caution");

function show() {
  const shown = fieldsOfKind[kind.value] ?? [...dependent];
  for (const name of dependent) {
    const row = document.getElementById(`div_id_${name}`);
    row.hidden = !shown.includes(name);
    for (const input of row.querySelectorAll("input, select, textarea")) input.disabled = row.hidden;
  }
  const isCheck = ["weekly_check", "monthly_check"].includes(kind.value);
  const hint = document.getElementById("id_what_helptext");
  if (hint) hint.hidden = !isCheck;
  disablement.hidden = kind.value !== "disablement";
  check.hidden = !isCheck;
}

kind.addEventListener("change", () => {
  // The call point of the week is proposed for the weekly check only.
  if (proposed && kind.value === "weekly_check" && !position.value) position.value = proposed;
  else if (proposed && kind.value !== "weekly_check" && position.value === String(proposed)) position.value = "";
  show();
});
show();
