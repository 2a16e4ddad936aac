// "Why does it read something else?" takes the reading that is typed here along into the search for a fault. Without a
// network the search does not come: this page stays, and says what it will take along.

/** The address of the search with a reading as typed, `prefix` that of its unit; as it was where nothing is typed. */
function withReading(address, typed, prefix) {
  const text = typed.trim().replace(",", ".");
  if (!/^\d+(\.\d+)?$/.test(text)) return address;
  return `${address.split("?")[0]}?reading_ohm=${text}${prefix}`;
}

for (const link of document.querySelectorAll("a[data-why-of]")) {
  // Before any other listener: some follow the address at once.
  link.addEventListener(
    "click",
    (event) => {
      const box = document.querySelector(`[data-point="${link.dataset.whyOf}"] [name="reading"]`);
      link.href = withReading(link.getAttribute("href"), box?.value ?? "", link.dataset.prefix);
      if (navigator.onLine) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      const reading = new URLSearchParams(link.search).get("reading_ohm");
      const kept = reading ? `The reading, ${reading}Ω, stays here: touch` : "Touch";
      link.parentElement.querySelector("[data-why-said]").textContent = `▲ No network: the search for the fault needs one. ${kept} this again when there is a signal.`;
    },
    { capture: true },
  );
}
