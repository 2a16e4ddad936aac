// The mode of highest contrast, for bright sun and dark cellars: kept on this phone, set before the page is painted.
{
  const KEPT = "highest contrast";
  const root = document.documentElement;
  const isOn = () => "contrast" in root.dataset;
  const set = (on) => (on ? (root.dataset.contrast = "highest") : delete root.dataset.contrast);

  set(localStorage.getItem(KEPT) === "on");
  addEventListener("DOMContentLoaded", () => {
    const button = document.querySelector("[data-contrast-switch]");
    if (!button) return;
    const tell = () => {
      button.setAttribute("aria-pressed", String(isOn()));
      button.textContent = `Highest contrast: ${isOn() ? "on" : "off"}`;
    };
    button.addEventListener("click", () => {
      set(!isOn());
      localStorage.setItem(KEPT, isOn() ? "on" : "off");
      tell();
    });
    button.hidden = false;
    tell();
  });
}
