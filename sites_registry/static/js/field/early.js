// What is touched before the page's script is ready waits for it: without a network the plain form would lead nowhere.
// A script that does not come within a few seconds leaves the touch to the plain form, as for a browser without scripts.
{
  const PATIENCE_MS = 8000;
  const REST_MS = 500;

  // A second touch of a gloved finger must not answer the test that has just come up under it. The rest is counted from
  // when the screen is there to touch: at the script's readiness it would swallow the touch that is under way by then.
  const letRest = () => {
    const buttons = [...document.querySelectorAll(".points .dock button")];
    for (const button of buttons) button.disabled = true;
    setTimeout(() => buttons.forEach((button) => (button.disabled = false)), REST_MS);
  };

  document.addEventListener("readystatechange", letRest, { once: true }); // the page is whole, its modules have not run

  const HELD = "form[data-answer] button, form[data-keeps] [type=submit]";
  let touched = null;

  const hold = (event) => {
    const button = event.target.closest?.(HELD);
    if (!button) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (touched) touched.removeAttribute("aria-busy");
    else setTimeout(letGo, PATIENCE_MS);
    touched = button;
    button.setAttribute("aria-busy", "true");
  };

  // A screen that has just come takes no touch for a moment (screen.js).
  const act = (button) => (button.disabled ? setTimeout(act, 50, button) : button.click());

  const letGo = () => {
    document.removeEventListener("click", hold, true);
    touched?.removeAttribute("aria-busy");
    if (touched) act(touched);
    touched = null;
  };

  // What is typed before goes before what the script puts back from an earlier time, and is kept as if typed now.
  const typed = new Map();
  const note = ({ target }) => typed.set(target, { value: target.value, checked: target.checked });
  const typeAgain = () => {
    document.removeEventListener("input", note, true);
    for (const [field, { value, checked }] of typed) {
      if (["checkbox", "radio"].includes(field.type)) field.checked = checked;
      else field.value = value;
      for (const name of ["input", "change"]) field.dispatchEvent(new Event(name, { bubbles: true }));
    }
  };

  const ready = () => {
    typeAgain();
    letGo();
  };

  document.addEventListener("input", note, true);
  document.addEventListener("click", hold, true);
  document.addEventListener("fieldready", ready, { once: true });
}
