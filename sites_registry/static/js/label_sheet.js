// Own measures are asked for only when the sheet has them; cables and cores belong to no zone and no storey.
const form = document.querySelector("[data-label-form]");

if (form) {
  const own = form.querySelector('[data-group="own"]');
  const places = ["zone", "storey"].map((name) => form.elements[name].closest(".form-field"));

  const follow = () => {
    own.hidden = form.elements.stock.value !== "own";
    const isCable = form.elements.what.value !== "devices";
    for (const place of places) {
      const field = place.querySelector("select");
      // A value that was refused stays in sight with its sentence.
      place.hidden = isCable && !field.value;
    }
  };
  form.addEventListener("change", follow);
  follow();
}
