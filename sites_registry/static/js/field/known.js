// "Why does it read something else?" takes the reading that is typed here along into the search for a fault.

/** The address of the search with a reading typed in kΩ; as it was where nothing is typed. */
function withReading(address, typed) {
  const text = typed.trim().replace(",", ".");
  if (!/^\d+(\.\d+)?$/.test(text)) return address;
  return `${address.split("?")[0]}?reading_ohm=${text}k`;
}

for (const link of document.querySelectorAll("a[data-why-of]")) {
  // Before any other listener: some follow the address at once.
  link.addEventListener(
    "click",
    () => {
      const box = document.querySelector(`[data-point="${link.dataset.whyOf}"] [name="reading"]`);
      link.href = withReading(link.getAttribute("href"), box?.value ?? "");
    },
    { capture: true },
  );
}
