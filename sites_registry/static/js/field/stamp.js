// The swap of a unit dates from the clock of the device, as the answers at its test points do.
const moment = document.querySelector('input[name="swapped_at"]');
moment?.form.addEventListener("submit", () => {
  moment.value = new Date().toISOString();
});
